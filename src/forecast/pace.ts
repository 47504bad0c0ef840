/**
 * Pace learnt from finished stages, as a Bayesian linear model. The prior of the pace effects (party,
 * aid, each leader) is normal on their logarithms. The data are log(actual / expected). Party and
 * leaders are learnt together: what all leaders share goes to the party, what one of them adds goes to
 * that leader (partial pooling).
 *
 * An outlier, such as a stuck bag, must not wreck the estimate. So the likelihood is normal in the
 * middle and exponential beyond `k` standard deviations (Huber 1964). The posterior mean is found by
 * Huber's modified residuals: a residual is clipped at ±k·sigma, and the conjugate update is repeated
 * until it converges. The posterior covariance is that of the conjugate update without clipping. So it
 * doesn't depend on the data, and a later completion only makes the pace slower, never more or less
 * certain.
 */

/** One measured stretch: log(actual / expected), its weights on the effects, and its standard deviation. */
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

const MAX_ROUNDS = 500;
const STILL = 1e-12;

/**
 * The posterior, given the observations. With `k` = Infinity this is the conjugate normal update.
 *
 * @param k where residuals are clipped, in their own standard deviations
 */
export function posteriorOf(
  prior: MultivariateNormal,
  observations: readonly Observation[],
  k: number,
): MultivariateNormal {
  let covariance = prior.covariance;
  for (const { weights, sigma } of observations) {
    covariance = posteriorCovariance(covariance, weights, sigma);
  }
  let mean = prior.mean;
  for (let round = 0; round < MAX_ROUNDS; round++) {
    const score = prior.mean.map(() => 0);
    for (const { logRatio, weights, sigma } of observations) {
      const fitted = dot(weights, mean);
      const residual = Math.min(k * sigma, Math.max(-k * sigma, logRatio - fitted));
      const innovation = fitted + residual - dot(weights, prior.mean);
      for (let i = 0; i < score.length; i++) {
        score[i] = (score[i] as number) + ((weights[i] as number) * innovation) / (sigma * sigma);
      }
    }
    const shift = matrixVector(covariance, score);
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
