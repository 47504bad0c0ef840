/**
 * Pace learnt from finished stages, as a Bayesian linear model. The prior of the effects (`effects.ts`) is
 * normal on their logarithms. The data are log(actual / expected). All are learnt together: what all leaders
 * share goes to the party, what one of them adds goes to that leader (partial pooling).
 *
 * The noise is Student's t, so that a stuck bag doesn't wreck the estimate (Lange, Little & Taylor 1989,
 * J. Am. Stat. Assoc. 84, 881–896). Its score falls again beyond √ν scales, as if the more a pitch took the
 * less it said. Here it stays at its peak instead (Huber 1964), so that a later completion only ever makes the pace slower.
 * The mean is found by Fisher scoring. The covariance is the inverse of the prior's and the expected information, which
 * is (ν + 1)/(ν + 3) of a normal's: it doesn't depend on the data, so a later completion never makes the pace more certain.
 */

import type { Belief } from '../trip/kinds/pace.ts';

/** One measured stretch: log(actual / expected), its weights on the effects, and the scale of its noise. */
export interface Observation {
  logRatio: number;
  weights: readonly number[];
  sigma: number;
}

/** A multivariate normal distribution of the effects: the prior or the posterior. */
export interface MultivariateNormal {
  mean: number[];
  covariance: number[][];
}

const dot = (a: readonly number[], b: readonly number[]): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
};

/** Matrix times vector. */
export function matrixVector(
  matrix: readonly (readonly number[])[],
  vector: readonly number[],
): number[] {
  return matrix.map((row) => dot(row, vector));
}

/** Posterior covariance after observing weights·effects with standard deviation `sigma`: a rank-one downdate. */
export function posteriorCovariance(
  covariance: readonly (readonly number[])[],
  weights: readonly number[],
  sigma: number,
): number[][] {
  const gain = matrixVector(covariance, weights);
  const total = dot(weights, gain) + sigma * sigma;
  return covariance.map((row, i) =>
    row.map((value, j) => value - ((gain[i] as number) * (gain[j] as number)) / total),
  );
}

/** Mean and standard deviation of the linear combination weights·effects. */
export function linearCombination(
  posterior: MultivariateNormal,
  weights: readonly number[],
): { mean: number; sd: number } {
  const variance = dot(weights, matrixVector(posterior.covariance, weights));
  return { mean: dot(weights, posterior.mean), sd: Math.sqrt(Math.max(0, variance)) };
}

/** What is believed of one effect. */
export function beliefOf({ mean, covariance }: MultivariateNormal, effect: number): Belief {
  return {
    mean: mean[effect] as number,
    sd: Math.sqrt(Math.max(0, covariance[effect]?.[effect] as number)),
  };
}

/** The same, with another belief of one effect; the others go with it, as far as they hang on it. */
export function withBelief(
  { mean, covariance }: MultivariateNormal,
  effect: number,
  belief: Belief,
): MultivariateNormal {
  const own = covariance[effect] as number[];
  const variance = own[effect] as number;
  if (!(variance > 0)) return { mean, covariance };
  const slopes = own.map((value) => value / variance);
  const shift = belief.mean - (mean[effect] as number);
  const wider = belief.sd ** 2 - variance;
  return {
    mean: mean.map((m, i) => m + (slopes[i] as number) * shift),
    covariance: covariance.map((row, i) =>
      row.map((value, j) => value + wider * (slopes[i] as number) * (slopes[j] as number)),
    ),
  };
}

/** Degrees of freedom of the noise: the heaviest tails with a finite variance and kurtosis near what pitches show; engineering choice. */
export const FREEDOM = 4;

/** Score of the noise at `u` scales: Student's t up to its peak, constant beyond. Infinite freedom is the normal. */
export function scoreAt(u: number, freedom: number): number {
  if (freedom === Number.POSITIVE_INFINITY) return u;
  const most = Math.sqrt(freedom);
  const within = Math.min(most, Math.max(-most, u));
  return ((freedom + 1) * within) / (freedom + within * within);
}

/** What an observation's scale counts for: that of a normal which holds as much information. */
export function effectiveScale(scale: number, freedom: number): number {
  return freedom === Number.POSITIVE_INFINITY
    ? scale
    : scale * Math.sqrt((freedom + 3) / (freedom + 1));
}

const MAX_ROUNDS = 500;
const STILL = 1e-12;
/** Of a step of Fisher scoring: the score is steeper in the middle than on the average. */
const DAMPING = 0.6;

/**
 * The posterior, given the observations. With infinite freedom this is the conjugate normal update.
 *
 * @param freedom degrees of freedom of the noise
 */
export function posteriorOf(
  prior: MultivariateNormal,
  observations: readonly Observation[],
  freedom = FREEDOM,
): MultivariateNormal {
  let covariance = prior.covariance;
  for (const { weights, sigma } of observations) {
    covariance = posteriorCovariance(covariance, weights, effectiveScale(sigma, freedom));
  }
  // The effects' shift from the prior is prior covariance × Σ weights·score/scale: one number an observation.
  const damping = freedom === Number.POSITIVE_INFINITY ? 1 : DAMPING;
  let mean = prior.mean;
  for (let round = 0; round < MAX_ROUNDS; round++) {
    const pull = prior.mean.map(() => 0);
    for (const { logRatio, weights, sigma } of observations) {
      const fitted = dot(weights, mean);
      const own = effectiveScale(sigma, freedom) ** 2;
      const score = scoreAt((logRatio - fitted) / sigma, freedom) / sigma;
      // Linearised at the mean: fitted + score·scale² is what a normal observation would have said.
      const innovation = fitted + score * own - dot(weights, prior.mean);
      for (let i = 0; i < pull.length; i++) {
        pull[i] = (pull[i] as number) + ((weights[i] as number) * innovation) / own;
      }
    }
    const shift = matrixVector(covariance, pull);
    let moved = 0;
    mean = prior.mean.map((m, i) => {
      const before = mean[i] as number;
      const step = damping * (m + (shift[i] as number) - before);
      moved = Math.max(moved, Math.abs(step));
      return before + step;
    });
    if (moved < STILL) break;
  }
  return { mean, covariance: covariance.map((row) => [...row]) };
}

/** Lower triangle L with L·Lᵀ = matrix; a direction without variance gets zeros. */
export function cholesky(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const lower = matrix.map(() => new Array<number>(n).fill(0));
  for (let j = 0; j < n; j++) {
    const rowJ = lower[j] as number[];
    const rest = (matrix[j]?.[j] as number) - dot(rowJ.slice(0, j), rowJ.slice(0, j));
    const pivot = rest > 1e-14 ? Math.sqrt(rest) : 0;
    rowJ[j] = pivot;
    for (let i = j + 1; i < n && pivot > 0; i++) {
      const rowI = lower[i] as number[];
      const cross = (matrix[i]?.[j] as number) - dot(rowI.slice(0, j), rowJ.slice(0, j));
      rowI[j] = cross / pivot;
    }
  }
  return lower;
}
