import { reference } from '../forecast/reference/random.ts';
import type { Moment } from './play.ts';

/** Levels at which the pinball loss is taken. */
export const LEVELS = [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95] as const;

/** The quantile of sorted values, by nearest rank. */
export function quantile(sorted: ArrayLike<number>, p: number): number {
  const i = Math.min(sorted.length - 1, Math.max(0, Math.ceil(p * sorted.length) - 1));
  return sorted[i] as number;
}

/** Share of the believed times up to what came: uniform on 0–1 where the forecast is true (PIT; Dawid 1984, J. R. Stat. Soc. A 147, 278–292). */
export function pit({ believed, actualMin }: Moment): number {
  let below = 0;
  for (const v of believed) if (v <= actualMin) below++;
  return below / believed.length;
}

/** Pinball loss of one quantile (Koenker & Bassett 1978, Econometrica 46, 33–50). */
export function pinball(actual: number, forecast: number, p: number): number {
  return actual >= forecast ? p * (actual - forecast) : (1 - p) * (forecast - actual);
}

/** Mean pinball loss over the levels, as a share of the time there was to come. */
export function loss(actualMin: number, quantileAt: (p: number) => number): number {
  const sum = LEVELS.reduce((s, p) => s + pinball(actualMin, quantileAt(p), p), 0);
  return sum / LEVELS.length / actualMin;
}

/** The loss of the forecast, and of the two plain rivals, each of whom names one time. */
export interface Losses {
  forecast: number;
  fortyFive: number;
  averageSoFar: number;
}

export function losses(m: Moment): Losses {
  const plain = m.left * 45;
  // Before anything is climbed there is no average yet.
  const average = m.done === 0 ? plain : (m.left * m.spentMin) / m.done;
  return {
    forecast: loss(m.actualMin, (p) => quantile(m.believed, p)),
    fortyFive: loss(m.actualMin, () => plain),
    averageSoFar: loss(m.actualMin, () => average),
  };
}

const Z95 = 1.959964;

/** 95 % interval of a share that was seen in `n` cases: Wilson's score interval (Wilson 1927, J. Am. Stat. Assoc. 22, 209–212). */
export function wilson(share: number, n: number): { low: number; high: number } {
  const z2 = Z95 ** 2;
  const middle = (share + z2 / (2 * n)) / (1 + z2 / n);
  const reach = (Z95 / (1 + z2 / n)) * Math.sqrt((share * (1 - share)) / n + z2 / (4 * n * n));
  return { low: middle - reach, high: middle + reach };
}

const RESAMPLES = 2000;

/** By how much less the forecast lost than a rival, on average, and between which values nine in ten resamplings of the parties lie. */
export function gainOn(moments: readonly Moment[], rival: 'fortyFive' | 'averageSoFar') {
  const byParty = new Map<string, number[]>();
  for (const m of moments) {
    const own = losses(m);
    const gains = byParty.get(m.climb.party) ?? [];
    byParty.set(m.climb.party, [...gains, own[rival] - own.forecast]);
  }
  const parties = [...byParty.values()];
  const mean = (of: readonly number[][]): number => {
    const all = of.flat();
    return all.reduce((sum, g) => sum + g, 0) / all.length;
  };
  const random = reference(1979);
  const again = Float64Array.from({ length: RESAMPLES }, () =>
    mean(parties.map(() => parties[Math.floor(random.uniform() * parties.length)] as number[])),
  ).sort();
  return { mean: mean(parties), low: quantile(again, 0.05), high: quantile(again, 0.95) };
}

/** Figures of a group of moments. */
export interface Score extends Losses {
  n: number;
  held50: number;
  held80: number;
  held90: number;
  /** Share that was not later than the time named as cautious (9 in 10). */
  cautious: number;
  meanPit: number;
  /** How many PITs lie in each fifth of 0–1: alike where the forecast is true. */
  fifths: number[];
  /** Median of actual over forecast. */
  ratio: number;
}

export function score(moments: readonly Moment[]): Score {
  const n = moments.length;
  const pits = moments.map(pit);
  const mean = (values: readonly number[]): number => values.reduce((s, v) => s + v, 0) / n;
  const within = (p: number): number =>
    mean(pits.map((u) => Number(u >= (1 - p) / 2 && u <= (1 + p) / 2)));
  const all = moments.map(losses);
  const ratios = moments.map((m) => m.actualMin / quantile(m.believed, 0.5)).sort((a, b) => a - b);
  return {
    n,
    held50: within(0.5),
    held80: within(0.8),
    held90: within(0.9),
    cautious: mean(pits.map((u) => Number(u <= 0.9))),
    meanPit: mean(pits),
    fifths: [0, 1, 2, 3, 4].map(
      (fifth) => pits.filter((u) => Math.min(4, Math.floor(u * 5)) === fifth).length,
    ),
    ratio: n === 0 ? Number.NaN : quantile(ratios, 0.5),
    forecast: mean(all.map((l) => l.forecast)),
    fortyFive: mean(all.map((l) => l.fortyFive)),
    averageSoFar: mean(all.map((l) => l.averageSoFar)),
  };
}
