/**
 * Normal distribution: cumulative, upper tail and quantile, good far into the tail, because a pitch
 * that is hours over its time is exactly there.
 */

const SQRT_2PI = Math.sqrt(2 * Math.PI);

/** Density of the standard normal at z. */
export function normalDensity(z: number): number {
  return Math.exp(-0.5 * z * z) / SQRT_2PI;
}

/**
 * Chance that a standard normal exceeds z, with full relative precision for z up to 37.
 * Near the middle by the power series of the density's integral (Marsaglia 2004, J. Stat. Softw.
 * 11/4); in the tail by Laplace's continued fraction, which converges fast there.
 */
export function normalSurvival(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  if (z < -3) return 1 - normalSurvival(-z);
  if (z < 3) {
    let sum = z;
    let term = z;
    for (let i = 3; Math.abs(term) > 1e-17 * Math.abs(sum); i += 2) {
      term *= (z * z) / i;
      sum += term;
    }
    return 0.5 - sum * normalDensity(z);
  }
  return normalDensity(z) / tailFraction(z);
}

/** Density over upper tail, for z from 3 on: Laplace's continued fraction. */
function tailFraction(z: number): number {
  let fraction = z;
  for (let i = 120; i >= 1; i--) fraction = z + i / fraction;
  return fraction;
}

/** Chance that a standard normal is at most z. */
export function normalCdf(z: number): number {
  return normalSurvival(-z);
}

const A = [
  3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987,
  67265.7709270087, 33430.57558358813, 2509.0809287301227,
];
const B = [
  1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271,
  28729.085735721943, 5226.495278852545,
];
const C = [
  1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684,
  0.2417807251774506, 0.022723844989269184, 7.745450142783414e-4,
];
const D = [
  1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008,
  0.015198666563616457, 5.475938084995345e-4, 1.0507500716444169e-9,
];
const E = [
  6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487,
  0.026532189526576124, 0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
];
const F = [
  1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 7.868691311456133e-4,
  1.8463183175100548e-5, 1.421511758316446e-7, 2.0442631033899397e-15,
];

function ratio(top: readonly number[], bottom: readonly number[], x: number): number {
  let t = 0;
  let b = 0;
  for (let i = 7; i >= 0; i--) {
    t = t * x + (top[i] as number);
    b = b * x + (bottom[i] as number);
  }
  return t / b;
}

/**
 * Quantile of the standard normal, about 1 part in 10^16: algorithm AS 241, PPND16
 * (Wichura 1988, Applied Statistics 37, 477–484).
 *
 * @param p strictly between 0 and 1; 0 and 1 give minus and plus infinity
 */
export function normalQuantile(p: number): number {
  if (p <= 0) return Number.NEGATIVE_INFINITY;
  if (p >= 1) return Number.POSITIVE_INFINITY;
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) return q * ratio(A, B, 0.180625 - q * q);
  const r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  const z = r <= 5 ? ratio(C, D, r - 1.6) : ratio(E, F, r - 5);
  return q < 0 ? -z : z;
}

/**
 * A standard normal moved to where one known to exceed `above` lies: z itself where nothing is cut off,
 * and growing both in z and in the limit, so that common random numbers stay in order as time passes.
 *
 * @param survival normalSurvival(above), which the caller has once for many draws
 */
export function truncatedNormal(z: number, above: number, survival: number): number {
  if (survival >= 1) return z;
  const upper = normalSurvival(z) * survival;
  // So far out that the tail can't be told from nought, it is exponential.
  if (upper < 1e-300) return above - Math.log(normalSurvival(z)) / above;
  return Math.max(above, -normalQuantile(upper));
}
