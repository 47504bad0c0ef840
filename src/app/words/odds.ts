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

/** `3 in 4`: the nearest odds below, so that a chance is never said better than it is. */
export function oddsWords(chance: number): string {
  // Half a percent of grace: the figure itself is uncertain by about that much.
  const step = STEPS.find(([least]) => chance >= least - 0.005);
  return step?.[1] ?? (chance > 0 ? 'less than 1 in 20' : 'no chance');
}

/** `90 %`: a chance that was asked for, said as it was asked. */
export function percentWords(chance: number): string {
  return `${Math.round(chance * 100)} %`;
}
