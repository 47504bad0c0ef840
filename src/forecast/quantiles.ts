/** Above this many values a sample narrows the search first. */
const SAMPLE_FROM = 400;

/**
 * Moves the k-th smallest value (from 0) of `values[low..high]` to index k, smaller ones before it and
 * larger ones behind, by the algorithm of Floyd and Rivest (1975, Commun. ACM 18, 165, algorithm 489).
 */
function select(values: Float64Array, k: number, low: number, high: number): void {
  let left = low;
  let right = high;
  while (right > left) {
    if (right - left > SAMPLE_FROM) {
      const n = right - left + 1;
      const i = k - left + 1;
      const z = Math.log(n);
      const s = 0.5 * Math.exp((2 * z) / 3);
      const sd = 0.5 * Math.sqrt((z * s * (n - s)) / n) * Math.sign(i - n / 2);
      const from = Math.max(left, Math.floor(k - (i * s) / n + sd));
      const to = Math.min(right, Math.floor(k + ((n - i) * s) / n + sd));
      select(values, k, from, to);
    }
    const pivot = values[k] as number;
    let i = left;
    let j = right;
    while (i <= j) {
      while ((values[i] as number) < pivot) i++;
      while ((values[j] as number) > pivot) j--;
      if (i > j) break;
      const swap = values[i] as number;
      values[i] = values[j] as number;
      values[j] = swap;
      i++;
      j--;
    }
    if (j < k) left = i;
    if (k < i) right = j;
  }
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
 * @param copy room for as many values, where many columns share it; overwritten
 */
export function quantilesOf(
  values: Float64Array,
  shares: readonly number[],
  copy: Float64Array = new Float64Array(values.length),
): number[] {
  const n = values.length;
  copy.set(values);
  const out = new Array<number>(shares.length);
  // The middle one first: it halves what the others have to look through.
  const middle = shares.length >> 1;
  const at = rankOf(shares[middle] as number, n);
  select(copy, at, 0, n - 1);
  out[middle] = copy[at] as number;
  let high = at;
  for (let s = middle - 1; s >= 0; s--) {
    const k = rankOf(shares[s] as number, n);
    if (k < high) select(copy, k, 0, high - 1);
    out[s] = copy[k] as number;
    high = k;
  }
  let low = at;
  for (let s = middle + 1; s < shares.length; s++) {
    const k = rankOf(shares[s] as number, n);
    if (k > low) select(copy, k, low + 1, n - 1);
    out[s] = copy[k] as number;
    low = k;
  }
  return out;
}

/** Share of the values, 0–1, that lie at or below `limit`. */
export function shareBy(values: Float64Array, limit: number): number {
  let met = 0;
  for (let i = 0; i < values.length; i++) if ((values[i] as number) <= limit) met++;
  return met / values.length;
}
