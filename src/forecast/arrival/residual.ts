import { effectShift, type UnderWay } from '../compile.ts';
import { conditionalSurvival, normalQuantile, normalSurvival, truncatedNormal } from '../normal.ts';
import { finishOf, type WorkClock, workBetween } from '../work-clock.ts';
import { type Arrival, tidyChance } from './arrival.ts';
import { addAt, emptyMass, type Grid, type ProbabilityMass } from './mass.ts';
import type { Paces } from './paces.ts';

/**
 * A lognormal time of which `spentMin` minutes have passed without its end. `mean` and `sd` are those
 * of its logarithm.
 */
export interface PartialTime {
  mean: number;
  sd: number;
  spentMin: number;
}

/** Bins end where less probability than this is left. */
const END = 1e-9;

/** The standard score of log(`spentMin` + `leftMin`). */
function deviation({ mean, sd, spentMin }: PartialTime, leftMin: number): number {
  const all = spentMin + leftMin;
  return all > 0 ? (Math.log(all) - mean) / sd : Number.NEGATIVE_INFINITY;
}

/**
 * When the residual time is over if work goes on at `fromMin`, minutes since now. This is exact, without
 * bins: the distribution of the whole time given that it exceeds the time spent.
 */
export function residualArrival(clock: WorkClock, fromMin: number, begun: PartialTime): Arrival {
  const above = deviation(begun, 0);
  return {
    chanceBy: (atMin) => {
      if (atMin <= fromMin) return 0;
      const leftMin = workBetween(clock, fromMin, atMin);
      return tidyChance(1 - conditionalSurvival(deviation(begun, leftMin), above));
    },
    quantile: (p) => {
      return finishOf(clock, fromMin, residualTime(begun, normalQuantile(p)));
    },
  };
}

/** The residual time in minutes that belongs to a standard normal deviate. */
export function residualTime(begun: PartialTime, deviate: number): number {
  const above = deviation(begun, 0);
  const z = truncatedNormal(deviate, above, normalSurvival(above));
  return Math.max(0, Math.exp(begun.mean + begun.sd * z) - begun.spentMin);
}

/** The residual time's mass function, counted from a place on the grid. */
export function residualMass(grid: Grid, place: number, begun: PartialTime): ProbabilityMass {
  const out = emptyMass(grid);
  const above = deviation(begun, 0);
  let later = 1;
  for (let i = Math.floor(place + 0.5); i < grid.count - 1 && later > END; i++) {
    const leftMin = (i + 0.5 - place) * grid.stepMin;
    const next = conditionalSurvival(deviation(begun, leftMin), above);
    // The first bin is only partly there: what it has lies in that part's middle.
    const middle = Math.max(i, (place + i + 0.5) / 2);
    addAt(out, middle, later - next);
    later = next;
  }
  addAt(out, out.high - 1.5, later);
  return out;
}

/**
 * The mass function of the end of the part under way, split by pace. Each bin is shared in proportion
 * to the likelihood of the paces given that end (Bayes' rule), so that all shares together are the
 * part's own residual time, exactly.
 */
export function residualByPace(
  grid: Grid,
  place: number,
  u: UnderWay,
  { shifts, shiftSd }: Pick<Paces, 'shifts' | 'shiftSd'>,
): ProbabilityMass[] {
  const all = residualMass(grid, place, u);
  const out = shifts.map(() => ({ ...emptyMass(grid), low: all.low, high: all.high }));
  for (let i = all.low; i < all.high; i++) {
    // The first bin is only half there.
    const leftMin = Math.max(0.25, i - place) * grid.stepMin;
    const middle = effectShift(u, deviation(u, leftMin));
    const off = shifts.map((by) => ((by - middle) / shiftSd) ** 2 / 2);
    // Relative to the likeliest, so that one is left where all are far off.
    const least = Math.min(...off);
    const likely = off.map((x) => Math.exp(least - x));
    const sum = likely.reduce((a, b) => a + b, 0);
    likely.forEach((share, j) => {
      (out[j] as ProbabilityMass).mass[i] = ((all.mass[i] as number) * share) / sum;
    });
  }
  return out;
}
