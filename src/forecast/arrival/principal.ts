/** A direction of length one, and how much it matters. */
export interface Direction {
  along: Float64Array;
  weight: number;
}

const ROUNDS = 300;
const NOTHING = 1e-12;
const TRACE = 1e-4;

export function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
}

/** What is left of a vector without its part along a direction of length one. */
export function without(vector: Float64Array, along: ArrayLike<number>): Float64Array {
  const part = dot(vector, along);
  return vector.map((x, i) => x - part * (along[i] as number));
}

/** The direction in which the rows are longest together: power iteration (von Mises 1929). */
function longest(rows: readonly Float64Array[], size: number): Float64Array | undefined {
  const largest = rows.reduce((a, b) => (dot(b, b) > dot(a, a) ? b : a), new Float64Array(size));
  let along = largest;
  for (let round = 0; round <= ROUNDS; round++) {
    const length = Math.sqrt(dot(along, along));
    if (length < NOTHING) return undefined;
    const unit = along.map((x) => x / length);
    if (round === ROUNDS) return unit;
    along = new Float64Array(size);
    for (const row of rows) {
      const part = dot(row, unit);
      for (let i = 0; i < size; i++) along[i] = (along[i] as number) + part * (row[i] as number);
    }
  }
  return undefined;
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
  const out: Direction[] = [];
  // A trace of every direction, so that those that move no row are found last.
  const traces = Array.from({ length: size }, (_, i) => {
    const trace = new Float64Array(size);
    trace[i] = TRACE;
    return trace;
  });
  let left = [...rows, ...traces].map((row) => (taken ? without(row, taken) : row));
  const count = taken ? size - 1 : size;
  for (let n = 0; n < count; n++) {
    const along = longest(left, size);
    if (!along) break;
    out.push({ along, weight: meanWeight(rows, along) });
    left = left.map((row) => without(row, along));
  }
  return out;
}

/** Fourth-power mean of the rows' parts along a direction. */
export function meanWeight(rows: readonly Float64Array[], along: ArrayLike<number>): number {
  const sum = rows.reduce((total, row) => total + dot(row, along) ** 4, 0);
  return rows.length > 0 ? (sum / rows.length) ** 0.25 : 0;
}
