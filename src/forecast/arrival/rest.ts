import { shiftBy, type UnderWay } from '../compile.ts';
import { intoTail, normalQuantile, normalUpper, normalUpperBeyond } from '../normal.ts';
import { finishOf, type WorkClock, workBetween } from '../work-clock.ts';
import { type Arrival, tidyChance } from './arrival.ts';
import type { Paces } from './paces.ts';
import { addAt, type Grid, newSpread, type Spread } from './spread.ts';

/** A lognormal time of which some is spent and the rest isn't done: mean and deviation of its logarithm. */
export interface Begun {
  mean: number;
  sd: number;
  spentMin: number;
}

/** No more is laid out beyond this chance. */
const END = 1e-9;

/** How far a time of `spentMin` and `leftMin` together lies from the middle, in standard deviations. */
function deviation({ mean, sd, spentMin }: Begun, leftMin: number): number {
  const all = spentMin + leftMin;
  return all > 0 ? (Math.log(all) - mean) / sd : Number.NEGATIVE_INFINITY;
}

/** When the rest is done if it is taken up at a moment, minutes since now: exactly, without bins. */
export function restArrival(clock: WorkClock, fromMin: number, begun: Begun): Arrival {
  const above = deviation(begun, 0);
  return {
    chanceBy: (atMin) => {
      if (atMin <= fromMin) return 0;
      const leftMin = workBetween(clock, fromMin, atMin);
      return tidyChance(1 - normalUpperBeyond(deviation(begun, leftMin), above));
    },
    quantile: (p) => {
      return finishOf(clock, fromMin, leftAt(begun, normalQuantile(p)));
    },
  };
}

/** Minutes left in a case of so much luck: a standard normal deviate. */
export function leftAt(begun: Begun, luck: number): number {
  const above = deviation(begun, 0);
  const z = intoTail(luck, above, normalUpper(above));
  return Math.max(0, Math.exp(begun.mean + begun.sd * z) - begun.spentMin);
}

/** The same by bins, from a place on the grid. */
export function restFrom(grid: Grid, place: number, begun: Begun): Spread {
  const out = newSpread(grid);
  const above = deviation(begun, 0);
  let later = 1;
  for (let i = Math.floor(place + 0.5); i < grid.count - 1 && later > END; i++) {
    const leftMin = (i + 0.5 - place) * grid.stepMin;
    const next = normalUpperBeyond(deviation(begun, leftMin), above);
    // The first bin is only partly there: what it has lies in that part's middle.
    const middle = Math.max(i, (place + i + 0.5) / 2);
    addAt(out, middle, later - next);
    later = next;
  }
  addAt(out, out.high - 1.5, later);
  return out;
}

/**
 * When the part under way is done, shared among the paces it speaks for: a moment goes to those
 * paces it makes likely, so that all shares together are the part's own time, exactly.
 */
export function restByPace(
  grid: Grid,
  place: number,
  u: UnderWay,
  { shifts, shiftSd }: Pick<Paces, 'shifts' | 'shiftSd'>,
): Spread[] {
  const all = restFrom(grid, place, u);
  const out = shifts.map(() => ({ ...newSpread(grid), low: all.low, high: all.high }));
  for (let i = all.low; i < all.high; i++) {
    // The first bin is only half there.
    const leftMin = Math.max(0.25, i - place) * grid.stepMin;
    const middle = shiftBy(u, deviation(u, leftMin));
    const off = shifts.map((by) => ((by - middle) / shiftSd) ** 2 / 2);
    // Against the likeliest, so that one is left where all are far off.
    const least = Math.min(...off);
    const likely = off.map((x) => Math.exp(least - x));
    const sum = likely.reduce((a, b) => a + b, 0);
    likely.forEach((share, j) => {
      (out[j] as Spread).mass[i] = ((all.mass[i] as number) * share) / sum;
    });
  }
  return out;
}
