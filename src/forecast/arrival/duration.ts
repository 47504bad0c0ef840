import { normalCdf } from '../normal.ts';
import type { CentralMoments } from './central-moments.ts';
import { AT_ONCE, type DurationMass } from './mass.ts';

const REACH_SD = 6;
const PER_SD = 512;
const cdf = Float64Array.from({ length: 2 * REACH_SD * PER_SD + 2 }, (_, i) =>
  normalCdf(i / PER_SD - REACH_SD),
);

/** Chance that a standard normal is at most z, to about 1 part in 10^7, from a table. */
export function quickCdf(z: number): number {
  if (!(z > -REACH_SD)) return 0;
  if (z >= REACH_SD) return 1;
  const x = (z + REACH_SD) * PER_SD;
  const i = x | 0;
  const low = cdf[i] as number;
  return low + (x - i) * ((cdf[i + 1] as number) - low);
}

/** How far out a duration has bins, in standard deviations of its logarithm. What lies beyond goes into the last ones. */
const LOW_SD = -3.3;
const HIGH_SD = 3.7;
/** More bins than any time is given in; what would take more is gathered up in the last. */
const STEPS_MAX = 4096;

/** Room for the mass function of any leg's duration. */
export function newDuration(): DurationMass {
  return { first: 0, count: 0, share: new Float64Array(STEPS_MAX + AT_ONCE) };
}

/**
 * The mass function of a duration with these moments, in steps of `stepMin` minutes. The duration is
 * taken for a three-parameter lognormal, fitted by its moments (Johnson, Kotz and Balakrishnan,
 * Continuous Univariate Distributions 1, ch. 14). A lognormal is met exactly. A sum of several is met
 * far better than by a lognormal that begins at zero. The mean is kept exactly.
 */
export function discretise(shape: CentralMoments, stepMin: number, out: DurationMass): void {
  const { share } = out;
  const skew = Math.max(1e-3, shape.third / shape.variance ** 1.5);
  const half = 1 + (skew * skew) / 2;
  const root = Math.cbrt(half + Math.sqrt(half * half - 1));
  // e^(σ²) − 1, from skewness = (e^σ² + 2)·√(e^σ² − 1).
  const excess = ((root - 1) * (root - 1)) / root;
  const sigma = Math.sqrt(Math.log1p(excess));
  const median = Math.sqrt(shape.variance / ((1 + excess) * excess));
  const shortest = shape.mean - median * Math.sqrt(1 + excess);
  const at = (sd: number): number =>
    Math.max(0, Math.round((shortest + median * Math.exp(sd * sigma)) / stepMin));
  const first = at(LOW_SD);
  const wanted = at(HIGH_SD) - first + 1;
  const count = Math.min(STEPS_MAX - 1, wanted);
  let before = 0;
  let steps = first;
  for (let i = 0; i < count - 1; i++) {
    const above = (first + i + 0.5) * stepMin - shortest;
    const upTo = above > 0 ? quickCdf(Math.log(above / median) / sigma) : 0;
    share[i] = upTo - before;
    before = upTo;
    steps += 1 - upTo;
  }
  share[count - 1] = 1 - before;
  // Where the end is cut off the rest stays where it is.
  keepMean(out, first, count, wanted === count ? shape.mean / stepMin - steps : 0);
}

/** Moves everything by a part of a step, so that rounding costs nothing on the whole. */
function keepMean(out: DurationMass, first: number, count: number, gap: number): void {
  const { share } = out;
  const whole = Math.floor(gap);
  out.count = count;
  if (first + whole < 0) {
    shortened(share, count, -gap);
    out.first = 0;
  } else {
    lengthened(share, count, gap - whole);
    out.first = first + whole;
    out.count++;
  }
  share.fill(0, out.count, out.count + AT_ONCE);
}

/** Moves a part of every bin up by one. */
function lengthened(share: Float64Array, count: number, part: number): void {
  share[count] = 0;
  for (let i = count; i > 0; i--) {
    share[i] = (share[i] as number) * (1 - part) + (share[i - 1] as number) * part;
  }
  share[0] = (share[0] as number) * (1 - part);
}

/** Takes so many steps off on the mean; what takes none already can't take less. */
function shortened(share: Float64Array, count: number, steps: number): void {
  const part = Math.min(1, steps / (1 - (share[0] as number)));
  for (let i = 1; i < count; i++) {
    const moved = (share[i] as number) * part;
    share[i - 1] = (share[i - 1] as number) + moved;
    share[i] = (share[i] as number) - moved;
  }
}
