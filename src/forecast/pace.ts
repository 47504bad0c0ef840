/**
 * Pace learnt from finished stages: a normal prior on the logarithms of the pace effects (party, aid,
 * each leader), updated by log(actual / expected). Party and leaders are learnt together: what all
 * leaders share goes to the party, what one of them adds goes to that leader (partial pooling).
 *
 * An outlier (a stuck bag) must not wreck it, so the likelihood is normal in the middle and
 * exponential beyond `k` standard deviations (Huber 1964). The estimate is found by Huber's modified
 * residuals: a residual is cut at ±k·sigma, and the plain conjugate update is repeated until it
 * stands. The covariance is that of the uncut update; so it doesn't depend on the data, and a later
 * completion can only make the pace slower, never also surer or less sure.
 */

/** One measured stretch: log(actual / expected), how it depends on the effects, and its spread. */
export interface Observation {
  logRatio: number;
  weights: readonly number[];
  sigma: number;
}

/** A normal over the effects. */
export interface NormalBelief {
  mean: number[];
  covariance: number[][];
}

const dot = (a: readonly number[], b: readonly number[]): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
};

/** Matrix times vector. */
export function times(matrix: readonly (readonly number[])[], vector: readonly number[]): number[] {
  return matrix.map((row) => dot(row, vector));
}

/** Covariance after observing weights·effects with this spread: a rank-one downdate. */
export function observedCovariance(
  covariance: readonly (readonly number[])[],
  weights: readonly number[],
  sigma: number,
): number[][] {
  const gain = times(covariance, weights);
  const total = dot(weights, gain) + sigma * sigma;
  return covariance.map((row, i) =>
    row.map((value, j) => value - ((gain[i] as number) * (gain[j] as number)) / total),
  );
}

/** Mean and standard deviation of weights·effects. */
export function project(
  belief: NormalBelief,
  weights: readonly number[],
): { mean: number; sd: number } {
  const variance = dot(weights, times(belief.covariance, weights));
  return { mean: dot(weights, belief.mean), sd: Math.sqrt(Math.max(0, variance)) };
}

const MAX_ROUNDS = 500;
const STILL = 1e-12;

/**
 * Belief after the observations. With `k` = Infinity this is the plain conjugate normal update.
 *
 * @param k where residuals are cut, in their own standard deviations
 */
export function learn(
  prior: NormalBelief,
  observations: readonly Observation[],
  k: number,
): NormalBelief {
  let covariance = prior.covariance;
  for (const { weights, sigma } of observations) {
    covariance = observedCovariance(covariance, weights, sigma);
  }
  let mean = prior.mean;
  for (let round = 0; round < MAX_ROUNDS; round++) {
    const pull = prior.mean.map(() => 0);
    for (const { logRatio, weights, sigma } of observations) {
      const fitted = dot(weights, mean);
      const residual = Math.min(k * sigma, Math.max(-k * sigma, logRatio - fitted));
      const news = fitted + residual - dot(weights, prior.mean);
      for (let i = 0; i < pull.length; i++) {
        pull[i] = (pull[i] as number) + ((weights[i] as number) * news) / (sigma * sigma);
      }
    }
    const shift = times(covariance, pull);
    const next = prior.mean.map((m, i) => m + (shift[i] as number));
    const moved = next.reduce((far, m, i) => Math.max(far, Math.abs(m - (mean[i] as number))), 0);
    mean = next;
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
