import type { TripState } from '../../trip/state.ts';

/** Odds as people say them, from sure to hopeless. */
const STEPS: readonly (readonly [chance: number, words: string])[] = [
  [0.995, 'all but sure'],
  [0.95, '19 in 20'],
  [0.9, '9 in 10'],
  [0.8, '4 in 5'],
  [0.75, '3 in 4'],
  [2 / 3, '2 in 3'],
  [0.5, '1 in 2'],
  [1 / 3, '1 in 3'],
  [0.25, '1 in 4'],
  [0.2, '1 in 5'],
  [0.1, '1 in 10'],
  [0.05, '1 in 20'],
];

/** What can still be called all but sure: a climb of which no more than so many pitches are left. */
const SURE_PITCHES = 2;
/** Half a percent of grace: the figure itself is uncertain by about that much. */
const GRACE = 0.005;

/** Odds of something good, rounded down. Before the last two pitches no climb is surer than `19 in 20`. */
export function oddsWords(chance: number, { pitches }: Pick<TripState, 'pitches'>): string {
  const left = pitches.filter((p) => p.done === undefined).length;
  const said = left > SURE_PITCHES ? Math.min(chance, 0.95) : chance;
  const step = STEPS.find(([least]) => said >= least - GRACE);
  return step?.[1] ?? (said > 0 ? 'less than 1 in 20' : 'no chance');
}

/** Odds of something bad, rounded up: 47 % is `1 in 2`. */
export function riskWords(chance: number): string {
  const step = STEPS.findLast(([least]) => chance <= least + GRACE);
  if (chance < 0.05 - GRACE) return chance > 0 ? 'less than 1 in 20' : 'no chance';
  return step?.[1] ?? 'all but sure';
}

/** `90 %`: a chance that was asked for or told, said as it was. */
export function percentWords(chance: number): string {
  return `${Math.round(chance * 100)} %`;
}
