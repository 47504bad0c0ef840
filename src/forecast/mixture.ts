/**
 * A mixture of normals: what is believed of one number when several stories about it are possible, each with a spread
 * of its own. The party's pace is one: what a party says of itself holds mostly, not always.
 */
import type { Belief } from '../trip/kinds/pace.ts';
import { normalCdf, normalSurvival } from './normal.ts';

/** One of the stories: how likely it is, and what is believed if it is true. */
export interface Component extends Belief {
  weight: number;
}

/** Components whose weights add up to 1. */
export type Mixture = readonly Component[];

/** Mean and standard deviation of the whole. */
export function momentsOf(mixture: Mixture): Belief {
  const mean = mixture.reduce((sum, c) => sum + c.weight * c.mean, 0);
  const variance = mixture.reduce(
    (sum, c) => sum + c.weight * (c.sd ** 2 + (c.mean - mean) ** 2),
    0,
  );
  return { mean, sd: Math.sqrt(variance) };
}

/** Less than this, as a share of the prior's certainty, is no news. */
const NO_NEWS = 1e-9;

/**
 * The mixture after news, by Bayes's theorem. The news is what took a normal with the mixture's own moments, `before`,
 * to `after`: a normal likelihood. Slower news makes every quantile of the result slower.
 */
export function updated(mixture: Mixture, before: Belief, after: Belief): Mixture {
  const certainty = 1 / after.sd ** 2 - 1 / before.sd ** 2;
  if (!(certainty * before.sd ** 2 > NO_NEWS)) return mixture;
  const told = (after.mean / after.sd ** 2 - before.mean / before.sd ** 2) / certainty;
  const logs = mixture.map(({ weight, mean, sd }) => {
    const variance = sd ** 2 + 1 / certainty;
    return Math.log(weight) - Math.log(variance) / 2 - (told - mean) ** 2 / (2 * variance);
  });
  const most = Math.max(...logs);
  const weights = logs.map((log) => Math.exp(log - most));
  const all = weights.reduce((sum, w) => sum + w, 0);
  return mixture.map(({ mean, sd }, i): Component => {
    const variance = 1 / (1 / sd ** 2 + certainty);
    return {
      weight: (weights[i] as number) / all,
      mean: variance * (mean / sd ** 2 + told * certainty),
      sd: Math.sqrt(variance),
    };
  });
}

const ROUNDS = 60;

/** The value with as much chance below it as a standard normal has below `z`. */
export function quantileOf(mixture: Mixture, z: number): number {
  // In the tail that is the smaller, so that no digits are lost.
  const upper = z > 0;
  const wanted = upper ? normalSurvival(z) : normalCdf(z);
  const chance = (x: number): number =>
    mixture.reduce((sum, { weight, mean, sd }) => {
      const place = (x - mean) / sd;
      return sum + weight * (upper ? normalSurvival(place) : normalCdf(place));
    }, 0);
  const ends = mixture.map(({ mean, sd }) => mean + z * sd);
  let low = Math.min(...ends);
  let high = Math.max(...ends);
  for (let round = 0; round < ROUNDS && high - low > 1e-12; round++) {
    const middle = (low + high) / 2;
    if (chance(middle) < wanted === upper) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

const Z_MOST = 5;
const STEPS = 16;

/** A mixture's shape: its quantiles in standard deviations from the mean, at normals from −5 to 5. */
export type Shape = Float64Array;

/** The shape of a mixture; undefined for a single normal, which has none of its own. */
export function shapeOf(mixture: Mixture): Shape | undefined {
  if (mixture.length === 1) return undefined;
  const { mean, sd } = momentsOf(mixture);
  return Float64Array.from(
    { length: 2 * Z_MOST * STEPS + 2 },
    (_, i) => (quantileOf(mixture, i / STEPS - Z_MOST) - mean) / sd,
  );
}

/** Turns a standard normal into a draw of that shape. */
export function shaped(shape: Shape, z: number): number {
  const place = (Math.min(Z_MOST, Math.max(-Z_MOST, z)) + Z_MOST) * STEPS;
  const i = place | 0;
  const low = shape[i] as number;
  return low + (place - i) * ((shape[i + 1] as number) - low);
}
