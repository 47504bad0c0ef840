import type { Forecast } from '../../forecast/model.ts';
import type { TripState } from '../../trip/state.ts';
import { oddsWords, riskWords } from './odds.ts';

/** A chance smaller than this isn't worth a word. */
const WORTH = 0.05;

const count = (n: number, what: string): string => `${n} ${what}${n === 1 ? '' : 's'}`;

/** `4 days, 3 nights`; `one day, no night`. */
function length(nights: number): string {
  return nights === 0 ? 'one day, no night' : `${nights + 1} days, ${count(nights, 'night')}`;
}

/**
 * How many days and nights a route takes: `4 days, 3 nights; 3 days or fewer: 1 in 5; more than 4: 1 in 4`. The first is
 * the least that will do at least as often as not.
 *
 * @param nights chance of exactly k nights on the wall, by index
 */
export function daysWords(
  state: Pick<TripState, 'pitches'>,
  { nights, unfinished }: Pick<Forecast, 'nights' | 'unfinished'>,
): string {
  let within = 0;
  const usual = nights.findIndex((chance) => {
    within += chance;
    return within >= 0.5;
  });
  if (usual < 0 || unfinished >= 0.5) return 'longer than a week as often as not';
  const fewer = nights.slice(0, usual).reduce((sum, chance) => sum + chance, 0);
  const more = Math.max(0, 1 - within);
  const faster = usual === 1 ? 'in one day' : `${usual} days or fewer`;
  const slower = usual === 0 ? 'a night or more' : `more than ${usual + 1}`;
  return [
    length(usual),
    ...(usual > 0 && fewer >= WORTH ? [`${faster}: ${oddsWords(fewer, state)}`] : []),
    ...(more >= WORTH ? [`${slower}: ${riskWords(more)}`] : []),
  ].join('; ');
}
