import { normalCdf } from './normal.ts';

/** A lognormal: its logarithm is normal with mean `mu` and standard deviation `sigma`; e^mu is the median. */
export interface Lognormal {
  mu: number;
  sigma: number;
}

/** Mean and variance, in the unit of the thing and its square. */
export interface Moments {
  mean: number;
  variance: number;
}

/** Mean and variance of a lognormal. */
export function lognormalMoments({ mu, sigma }: Lognormal): Moments {
  const mean = Math.exp(mu + (sigma * sigma) / 2);
  return { mean, variance: mean * mean * Math.expm1(sigma * sigma) };
}

/** The lognormal with this mean and variance. */
export function lognormalFrom({ mean, variance }: Moments): Lognormal {
  const sigma2 = Math.log1p(variance / (mean * mean));
  return { mu: Math.log(mean) - sigma2 / 2, sigma: Math.sqrt(sigma2) };
}

/** Moments of a sum of independent parts. */
export function sumMoments(parts: readonly Moments[]): Moments {
  let mean = 0;
  let variance = 0;
  for (const part of parts) {
    mean += part.mean;
    variance += part.variance;
  }
  return { mean, variance };
}

/**
 * One lognormal in place of a sum of independent ones, by its first two moments
 * (Fenton 1960, IRE Trans. Commun. Syst. 8, 57–67; "Fenton–Wilkinson").
 */
export function sumLognormals(parts: readonly Lognormal[]): Lognormal {
  return lognormalFrom(sumMoments(parts.map(lognormalMoments)));
}

/** E[X^n] of a lognormal. */
export function lognormalMoment({ mu, sigma }: Lognormal, n: number): number {
  return Math.exp(n * mu + (n * n * sigma * sigma) / 2);
}

/**
 * E[max(X, Y)^n] of two independent lognormals, exactly: from E[X^n; X > Y], which is E[X^n] times a
 * normal probability.
 */
export function maxLognormalMoment(x: Lognormal, y: Lognormal, n: number): number {
  const spread = Math.hypot(x.sigma, y.sigma);
  const part = (a: Lognormal, gap: number): number => {
    const reach = gap + n * a.sigma * a.sigma;
    const share = spread > 0 ? normalCdf(reach / spread) : (1 + Math.sign(reach)) / 2;
    return lognormalMoment(a, n) * share;
  };
  return part(x, x.mu - y.mu) + part(y, y.mu - x.mu);
}

/**
 * Mean and variance of the longer of two independent lognormals: what hauling beside following costs
 * over either alone ("merge bias").
 */
export function maxLognormalMoments(x: Lognormal, y: Lognormal): Moments {
  const mean = maxLognormalMoment(x, y, 1);
  return { mean, variance: Math.max(0, maxLognormalMoment(x, y, 2) - mean * mean) };
}

/**
 * Mean and variance of the larger of two correlated normals (Clark 1961, Oper. Res. 9, 145–162).
 * The normal twin of `maxLognormalMoments`, for schedules kept in minutes.
 */
export function maxNormalMoments(x: Moments, y: Moments, correlation = 0): Moments {
  const cross = 2 * correlation * Math.sqrt(x.variance * y.variance);
  const a = Math.sqrt(Math.max(0, x.variance + y.variance - cross));
  if (a === 0) return x.mean >= y.mean ? x : y;
  const alpha = (x.mean - y.mean) / a;
  const up = normalCdf(alpha);
  const down = normalCdf(-alpha);
  const density = Math.exp(-0.5 * alpha * alpha) / Math.sqrt(2 * Math.PI);
  const mean = x.mean * up + y.mean * down + a * density;
  const second =
    (x.variance + x.mean * x.mean) * up +
    (y.variance + y.mean * y.mean) * down +
    (x.mean + y.mean) * a * density;
  return { mean, variance: second - mean * mean };
}
