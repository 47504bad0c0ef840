import { normalCdf } from '../normal.ts';

/**
 * The paces in order of the party's own: each stands for a stretch of all parties, from the quickest
 * (0) to the slowest (1). What turns at one pace then turns for the right share of all of them,
 * however few the points are.
 */
export interface Ranks {
  from: Float64Array;
  to: Float64Array;
  /** Of the logarithm of the party's pace. */
  mean: number;
  sd: number;
}

/**
 * @param logPace logarithm of the party's pace at each point
 * @param chance chance of each point
 * @param omitted variance of it that no point stands for
 */
export function ranksOf(
  logPace: readonly number[],
  chance: readonly number[],
  omitted: number,
): Ranks {
  const order = logPace
    .map((_, i) => i)
    .sort((a, b) => (logPace[a] as number) - (logPace[b] as number));
  const from = new Float64Array(order.length);
  const to = new Float64Array(order.length);
  // Nobody is left to be ranked when no day is: any measure will do.
  const all = chance.reduce((sum, x) => sum + x, 0) || 1;
  const average = (of: (x: number) => number): number =>
    logPace.reduce((sum, x, i) => sum + of(x) * (chance[i] as number), 0) / all;
  const mean = average((x) => x);
  const variance = average((x) => (x - mean) ** 2) + omitted;
  let below = 0;
  for (const i of order) {
    from[i] = below / all;
    below += chance[i] as number;
    to[i] = below / all;
  }
  return { from, to, mean, sd: Math.sqrt(Math.max(variance, 1e-12)) };
}

/** The share of what point `i` stands for that is slower than a pace, as a logarithm. */
export function shareSlower({ from, to, mean, sd }: Ranks, i: number, logPace: number): number {
  const quicker = normalCdf((logPace - mean) / sd);
  const [low, high] = [from[i] as number, to[i] as number];
  if (quicker <= low) return 1;
  return quicker >= high ? 0 : (high - quicker) / (high - low);
}
