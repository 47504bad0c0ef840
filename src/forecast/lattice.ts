import { normalQuantile } from './normal.ts';
import { nextUniform, randomState } from './random.ts';

/**
 * A randomly shifted rank-one lattice for quasi-Monte Carlo. A few thousand pseudo-random ascents leave
 * minutes of noise in a quantile of a route that takes days. So the ascents are low-discrepancy along
 * the few directions the top-out depends on most: the pace, and each stretch of the route. Each
 * direction's coordinate is taken from the lattice. The rest of an ascent's normals is left as drawn.
 * The normals are independent, so replacing their component along a direction by another normal leaves
 * their distribution as it was. Every single ascent is still a draw from the model; only the variance
 * of their average is smaller.
 *
 * The lattice is the additive recurrence on powers of the generalised golden ratio (Kronecker
 * sequence; ratio after M. Roberts), with the random shift of Cranley and Patterson (1976).
 */
export interface Lattice {
  /** Orthonormal directions in the space of one ascent's normals. */
  directions: Float64Array[];
  /** Number of leading and trailing indices each direction touches, to skip zeros. */
  from: number[];
  to: number[];
  steps: number[];
  shifts: number[];
}

/** Stream of the generator that no ascent uses. */
const SHIFT_STREAM = -1;

/** Root above 1 of x^(d+1) = x + 1. */
function goldenRatio(d: number): number {
  let x = 1.5;
  for (let i = 0; i < 60; i++) x = (1 + x) ** (1 / (d + 1));
  return x;
}

function orthonormal(vectors: readonly Float64Array[]): Float64Array[] {
  const out: Float64Array[] = [];
  for (const vector of vectors) {
    const v = Float64Array.from(vector);
    for (const u of out) {
      let along = 0;
      for (let i = 0; i < v.length; i++) along += (v[i] as number) * (u[i] as number);
      for (let i = 0; i < v.length; i++) v[i] = (v[i] as number) - along * (u[i] as number);
    }
    const norm = Math.hypot(...v);
    if (norm > 1e-9) out.push(v.map((x) => x / norm));
  }
  return out;
}

/** A lattice along the given directions. They need not be unit vectors; those of length zero are dropped. */
export function latticeAlong(vectors: readonly Float64Array[], seed: number): Lattice {
  const directions = orthonormal(vectors);
  const ratio = goldenRatio(directions.length);
  const random = randomState(seed, SHIFT_STREAM);
  return {
    directions,
    from: directions.map((v) => v.findIndex((x) => x !== 0)),
    to: directions.map((v) => v.findLastIndex((x) => x !== 0) + 1),
    steps: directions.map((_, j) => ratio ** -(j + 1)),
    shifts: directions.map(() => nextUniform(random)),
  };
}

/** Moves the normals of ascent `index` to their lattice point, in place. */
export function toLattice(lattice: Lattice, normals: Float64Array, index: number): void {
  const { directions, from, to, steps, shifts } = lattice;
  for (let j = 0; j < directions.length; j++) {
    const v = directions[j] as Float64Array;
    const end = to[j] as number;
    let along = 0;
    for (let i = from[j] as number; i < end; i++)
      along += (v[i] as number) * (normals[i] as number);
    const x = (shifts[j] as number) + (index + 1) * (steps[j] as number);
    const u = x - Math.floor(x);
    const move = normalQuantile(u > 0 ? u : 0.5) - along;
    for (let i = from[j] as number; i < end; i++) {
      normals[i] = (normals[i] as number) + move * (v[i] as number);
    }
  }
}
