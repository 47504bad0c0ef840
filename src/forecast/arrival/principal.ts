/** A direction of length one, and how much it matters. */
export interface Direction {
  along: Float64Array;
  weight: number;
}

const ROUNDS = 200;
const STILL = 1e-14;
/** A trace of every direction, so that those that move no row are found too, last. */
const TRACE = 1e-8;

/** Sum of products, over the length of the first. */
export function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
}

/** What is left of a vector without its part along a direction of length one. */
function without(vector: Float64Array, along: ArrayLike<number>): Float64Array {
  const part = dot(vector, along);
  return vector.map((x, i) => x - part * (along[i] as number));
}

/** Sum of the rows' products with themselves, and the trace. */
function products(rows: readonly Float64Array[], size: number): Float64Array[] {
  const out = Array.from({ length: size }, (_, i) => {
    const row = new Float64Array(size);
    row[i] = TRACE;
    return row;
  });
  for (const row of rows) {
    for (let i = 0; i < size; i++) {
      const line = out[i] as Float64Array;
      for (let j = 0; j < size; j++) {
        line[j] = (line[j] as number) + (row[i] as number) * (row[j] as number);
      }
    }
  }
  return out;
}

/** The strongest direction at right angles to those found: power iteration (von Mises 1929). */
function strongest(
  matrix: readonly Float64Array[],
  found: readonly ArrayLike<number>[],
): Float64Array {
  const clear = (v: Float64Array): Float64Array => found.reduce<Float64Array>(without, v);
  const unit = (v: Float64Array): Float64Array => {
    const length = Math.sqrt(dot(v, v));
    return v.map((x) => x / length);
  };
  const starts = matrix.map((row) => clear(Float64Array.from(row)));
  let along = unit(starts.reduce((a, b) => (dot(b, b) > dot(a, a) ? b : a)));
  for (let round = 0; round < ROUNDS; round++) {
    const next = unit(clear(Float64Array.from(matrix, (row) => dot(row, along))));
    const still = 1 - Math.abs(dot(next, along)) < STILL;
    along = next;
    if (still) break;
  }
  return along;
}

/**
 * Principal directions of the rows, strongest first, then whichever are left; all at right angles to
 * each other, and to `taken` if there is one. The weight is the fourth-power mean of the rows' parts
 * along a direction: more than the usual mean where it matters to a few rows only.
 */
export function principalDirections(
  rows: readonly Float64Array[],
  size: number,
  taken?: Float64Array,
): Direction[] {
  const matrix = products(rows, size);
  const found = taken ? [taken] : [];
  const out: Direction[] = [];
  while (found.length < size) {
    const along = strongest(matrix, found);
    found.push(along);
    out.push({ along, weight: meanWeight(rows, along) });
  }
  return out;
}

/** Fourth-power mean of the rows' parts along a direction. */
export function meanWeight(rows: readonly Float64Array[], along: ArrayLike<number>): number {
  const sum = rows.reduce((total, row) => total + dot(row, along) ** 4, 0);
  return rows.length > 0 ? (sum / rows.length) ** 0.25 : 0;
}
