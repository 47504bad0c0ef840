import type { UnderWay } from '../compile.ts';
import { shiftBy } from '../compile.ts';
import { normalUpper } from '../normal.ts';
import type { Paces } from './paces.ts';
import { type Grid, newSpread, type Spread } from './spread.ts';

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

/** When the rest is done if it is taken up at a place on the grid, given that it isn't done yet. */
export function restFrom(grid: Grid, place: number, begun: Begun): Spread {
  const out = newSpread(grid);
  const survival = normalUpper(deviation(begun, 0));
  out.low = Math.floor(place + 0.5);
  let later = 1;
  let i = out.low;
  for (; i < grid.count - 1 && later > END; i++) {
    const leftMin = Math.max(0, (i + 0.5 - place) * grid.stepMin);
    const next = Math.min(later, normalUpper(deviation(begun, leftMin)) / survival);
    out.mass[i] = later - next;
    later = next;
  }
  out.high = i;
  out.mass[i - 1] = (out.mass[i - 1] as number) + later;
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
    const likely = shifts.map((by) => Math.exp(-0.5 * ((by - middle) / shiftSd) ** 2));
    const sum = likely.reduce((a, b) => a + b, 0);
    likely.forEach((share, j) => {
      (out[j] as Spread).mass[i] = ((all.mass[i] as number) * share) / sum;
    });
  }
  return out;
}
