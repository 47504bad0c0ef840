import { type Lognormal, lognormalMoment, maxLognormalMoment } from '../moments.ts';

/** Mean, variance and third central moment, in minutes and their powers: of independent times each adds up. */
export interface Shape {
  mean: number;
  variance: number;
  third: number;
}

/** From the first three moments about nought. */
export function shapeOf(moment: (n: number) => number): Shape {
  const mean = moment(1);
  const variance = Math.max(0, moment(2) - mean * mean);
  return { mean, variance, third: Math.max(0, moment(3) - 3 * mean * variance - mean ** 3) };
}

/** Moment about nought, backwards: n is 1, 2 or 3. */
export function momentOf({ mean, variance, third }: Shape, n: number): number {
  if (n === 1) return mean;
  if (n === 2) return variance + mean * mean;
  return third + 3 * mean * variance + mean ** 3;
}

/** Shape of a lognormal. */
export function lognormalShape(x: Lognormal): Shape {
  return shapeOf((n) => lognormalMoment(x, n));
}

/** Shape of the longer of two independent lognormals. */
export function longerShape(x: Lognormal, y: Lognormal): Shape {
  return shapeOf((n) => maxLognormalMoment(x, y, n));
}

/** Adds `factor` times an independent time of this shape to a sum. */
export function addTo(sum: Shape, { mean, variance, third }: Shape, factor: number): void {
  const square = factor * factor;
  sum.mean += mean * factor;
  sum.variance += variance * square;
  sum.third += third * square * factor;
}
