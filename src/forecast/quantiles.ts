/**
 * Moves the k-th smallest value (from 0) of `values[0..end)` to index k, smaller ones before it and
 * larger ones behind (Hoare's quickselect, middle of three as pivot).
 */
function select(values: Float64Array, k: number, end: number): number {
  let low = 0;
  let high = end - 1;
  while (low < high) {
    const a = values[low] as number;
    const b = values[(low + high) >> 1] as number;
    const c = values[high] as number;
    const pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    let i = low;
    let j = high;
    while (i <= j) {
      while ((values[i] as number) < pivot) i++;
      while ((values[j] as number) > pivot) j--;
      if (i <= j) {
        const swap = values[i] as number;
        values[i] = values[j] as number;
        values[j] = swap;
        i++;
        j--;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k] as number;
}

/** Index of the nearest-rank quantile among n values: the smallest with at least p·n values up to it. */
export function rankOf(p: number, n: number): number {
  return Math.min(n - 1, Math.max(0, Math.ceil(p * n - 1e-9) - 1));
}

/**
 * Nearest-rank quantiles, without sorting it all.
 *
 * @param values not changed; at least one
 * @param shares growing, 0–1
 */
export function quantilesOf(values: Float64Array, shares: readonly number[]): number[] {
  const copy = Float64Array.from(values);
  const out = new Array<number>(shares.length);
  let end = copy.length;
  // From the highest down: each search leaves the smaller values in front for the next.
  for (let s = shares.length - 1; s >= 0; s--) {
    const k = rankOf(shares[s] as number, copy.length);
    out[s] = select(copy, k, end);
    end = k + 1;
  }
  return out;
}
