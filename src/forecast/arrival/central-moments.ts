import { type Lognormal, lognormalMoment, maxLognormalMoment } from '../moments.ts';

/**
 * Mean, variance and third central moment of a time, in minutes, minutes² and minutes³. For a sum of
 * independent times each of them is the sum of the parts'.
 */
export interface CentralMoments {
  mean: number;
  variance: number;
  third: number;
}

/**
 * Central moments from raw ones.
 *
 * @param moment gives E[X^n] for n = 1, 2, 3
 */
export function centralMoments(moment: (n: number) => number): CentralMoments {
  const mean = moment(1);
  const variance = Math.max(0, moment(2) - mean * mean);
  return { mean, variance, third: Math.max(0, moment(3) - 3 * mean * variance - mean ** 3) };
}

/** The raw moment E[X^n] for n = 1, 2 or 3. */
export function rawMoment({ mean, variance, third }: CentralMoments, n: number): number {
  if (n === 1) return mean;
  if (n === 2) return variance + mean * mean;
  return third + 3 * mean * variance + mean ** 3;
}

/** Central moments of a lognormal. */
export function lognormalCentralMoments(x: Lognormal): CentralMoments {
  return centralMoments((n) => lognormalMoment(x, n));
}

/** Central moments of the longer of two independent lognormals. */
export function maxCentralMoments(x: Lognormal, y: Lognormal): CentralMoments {
  return centralMoments((n) => maxLognormalMoment(x, y, n));
}

/** Adds `factor` times an independent time with these moments to a sum. */
export function addMoments(
  sum: CentralMoments,
  { mean, variance, third }: CentralMoments,
  factor: number,
): void {
  const square = factor * factor;
  sum.mean += mean * factor;
  sum.variance += variance * square;
  sum.third += third * square * factor;
}
