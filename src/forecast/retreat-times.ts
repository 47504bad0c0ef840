import { normalCdf } from './normal.ts';
import { finishOf, type WorkClock, workBetween } from './work-clock.ts';

/** What the time of a way down by rappel depends on. Minutes. */
export interface RetreatWork {
  rappels: number;
  /** People who come down. */
  party: number;
  /** A haul bag is lowered. */
  bag: boolean;
  /** From the foot of the wall to the stop; undefined where it isn't known. */
  walkMin: number | undefined;
}

/** Figures of a way down, as the trip's settings have them; minutes by daylight, and a spread. */
export interface RetreatFigures {
  /** One rappel of two people: getting ready, both down, ropes pulled. */
  rappelMin: number;
  /** Each further person. */
  rappelThirdMin: number;
  /** Lowering the bag once. */
  rappelBagMin: number;
  /** Standard deviation of the logarithm of the whole way down. */
  sigmaDescent: number;
}

/** One in ten sooner, half, nine in ten; minutes since the clock's origin. */
export interface Spread {
  q10: number;
  q50: number;
  q90: number;
}

/** A normal variate's tenth and ninetieth percentile, in standard deviations. */
export const Z90 = 1.2815515655446004;

/** Median of the rappels alone, minutes by daylight. */
export function rappelsMin(work: RetreatWork, figures: RetreatFigures): number {
  const each =
    figures.rappelMin +
    Math.max(0, work.party - 2) * figures.rappelThirdMin +
    (work.bag ? figures.rappelBagMin : 0);
  return work.rappels * each;
}

/** When the party is on the ground, and at the stop, if it begins at `fromMin`; slower in the dark. */
export function retreatTimes(
  work: RetreatWork,
  figures: RetreatFigures,
  clock: WorkClock,
  fromMin: number,
): { ground: Spread; stop?: Spread } {
  const medianMin = rappelsMin(work, figures);
  const spread = (min: number): Spread => {
    const at = (z: number) => finishOf(clock, fromMin, min * Math.exp(z * figures.sigmaDescent));
    return { q10: at(-Z90), q50: at(0), q90: at(Z90) };
  };
  const ground = spread(medianMin);
  return work.walkMin === undefined
    ? { ground }
    : { ground, stop: spread(medianMin + work.walkMin) };
}

/** Chance that the stop is reached by `byMin`, 0–1; of the ground where the walk isn't known. */
export function chanceBy(
  work: RetreatWork,
  figures: RetreatFigures,
  clock: WorkClock,
  fromMin: number,
  byMin: number,
): number {
  const room = workBetween(clock, fromMin, byMin);
  const medianMin = rappelsMin(work, figures) + (work.walkMin ?? 0);
  if (medianMin <= 0) return room >= 0 && byMin >= fromMin ? 1 : 0;
  if (!(room > 0)) return 0;
  return normalCdf(Math.log(room / medianMin) / figures.sigmaDescent);
}
