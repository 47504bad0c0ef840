import type { Settings } from './defaults.ts';
import type { ForecastInput } from './model.ts';
import { goOn, latestOn, type NightRules } from './nights.ts';
import { normalQuantile } from './normal.ts';
import { fillNormals } from './random.ts';

/**
 * Rain in the ascents. A spell is told with the chance that it rains, and where it rains it rains all through it.
 *
 * Rain in one spell says something of the next: behind the spells lies one standard normal each, carried on from the
 * one before with a correlation that fades by the hour, and a spell is wet where its normal lies below the quantile
 * of its chance (a Gaussian copula with the memory of an AR(1) process). So an hour of 50 % after an hour of 50 %
 * is most often the same rain, and a whole night typed as 50 % is one rain of that chance.
 *
 * Where it rains nobody begins a pitch until the hold after its end is over; a pitch that was begun is finished.
 * Later is still off later, so latest times can be found backwards through it (`latestDry`).
 */
export interface RainRules {
  /** Spells by begin, minutes since now; all of what was told, so that the luck of one doesn't hang on the hour. */
  fromMin: Float64Array;
  toMin: Float64Array;
  /** A normal below it means rain. */
  below: Float64Array;
  /** Correlation with the spell before. */
  carry: Float64Array;
  /** Minutes after rain in which nobody climbs; 0: rain stops nobody. */
  holdMin: number;
}

/** Rain as drawn in one ascent: when it begins, and until when nobody begins a pitch. Times are minutes since now. */
export interface DrawnRain {
  count: number;
  fromMin: Float64Array;
  /** End of the hold; the begin itself where rain stops nobody. */
  dryMin: Float64Array;
  normals: Float64Array;
}

/** A stream of luck of its own: with no rain told, every ascent stays as it is. */
const RAIN_STREAM = 0x7261696e;
/** A pitch begun at the very moment of the first drop isn't begun; this much before it is. */
const JUST_BEFORE_MIN = 1e-6;
/** Chances told as never and as sure stay so. */
const [NEVER, SURE] = [0, 1];

/** Reads the spells that were told; undefined where none lies ahead. */
export function rainRules(input: ForecastInput, settings: Settings): RainRules | undefined {
  const spells = [...(input.rain ?? [])].sort((a, b) => a.fromMs - b.fromMs || a.toMs - b.toMs);
  if (!spells.some((s) => s.toMs > input.nowMs && s.chance > NEVER)) return undefined;
  const min = (ms: number): number => (ms - input.nowMs) / 60000;
  const middle = ({ fromMs, toMs }: { fromMs: number; toMs: number }) => (fromMs + toMs) / 2;
  return {
    fromMin: Float64Array.from(spells, (s) => min(s.fromMs)),
    toMin: Float64Array.from(spells, (s) => min(s.toMs)),
    below: Float64Array.from(spells, ({ chance }) =>
      chance <= NEVER
        ? Number.NEGATIVE_INFINITY
        : chance >= SURE
          ? Number.POSITIVE_INFINITY
          : normalQuantile(chance),
    ),
    carry: Float64Array.from(spells, (spell, i) => {
      const before = spells[i - 1];
      if (before === undefined) return 0;
      return settings.rainPersistence ** ((middle(spell) - middle(before)) / 3_600_000);
    }),
    holdMin: (input.wetHours ?? 0) * 60,
  };
}

/** Room for the rain of an ascent. */
export function newRain(rules: RainRules | undefined): DrawnRain {
  const most = rules?.fromMin.length ?? 0;
  return {
    count: 0,
    fromMin: new Float64Array(most),
    dryMin: new Float64Array(most),
    normals: new Float64Array(most),
  };
}

/** Draws the rain of ascent `index`: what is left of it from now on, run together where one hold covers the next. */
export function drawRain(r: RainRules, out: DrawnRain, seed: number, index: number): void {
  const { fromMin, toMin, below, carry, holdMin } = r;
  fillNormals(out.normals, fromMin.length, seed ^ RAIN_STREAM, index);
  let count = 0;
  let z = 0;
  for (let i = 0; i < fromMin.length; i++) {
    const much = carry[i] as number;
    z = much * z + Math.sqrt(1 - much * much) * (out.normals[i] as number);
    if (!(z < (below[i] as number)) || (toMin[i] as number) <= 0) continue;
    const from = Math.max(0, fromMin[i] as number);
    const dry = holdMin > 0 ? (toMin[i] as number) + holdMin : from;
    if (count > 0 && from <= (out.dryMin[count - 1] as number)) {
      out.dryMin[count - 1] = Math.max(out.dryMin[count - 1] as number, dry);
      continue;
    }
    out.fromMin[count] = from;
    out.dryMin[count] = dry;
    count++;
  }
  out.count = count;
}

/** When a party that would set off at `atMin` from the stance before leg `k` does so by the rain as well. */
export function dryOff(
  rules: NightRules,
  rain: DrawnRain,
  k: number,
  atMin: number,
  scale: number,
): number {
  let t = atMin;
  for (let i = 0; i < rain.count; i++) {
    // After the hold the hours of the day decide again, and it may rain by then.
    if (t < (rain.fromMin[i] as number)) break;
    if (t < (rain.dryMin[i] as number)) t = goOn(rules, k, rain.dryMin[i] as number, scale);
  }
  return t;
}

/** The latest moment, up to `byMin`, at which a party sets off from there by day and rain: `dryOff` backwards. */
export function latestDry(
  rules: NightRules,
  rain: DrawnRain,
  k: number,
  byMin: number,
  scale: number,
): number {
  let t = latestOn(rules, k, byMin, scale);
  for (let i = rain.count - 1; i >= 0; i--) {
    const from = rain.fromMin[i] as number;
    if (t >= from && t < (rain.dryMin[i] as number)) {
      t = latestOn(rules, k, from - JUST_BEFORE_MIN, scale);
    }
  }
  return t;
}

/** When the first rain of the ascent begins; Infinity without any. */
export function firstRain(rain: DrawnRain): number {
  return rain.count === 0 ? Number.POSITIVE_INFINITY : (rain.fromMin[0] as number);
}

/** When rain begins on a party that is on the wall between two moments; Infinity where none does. */
export function caughtAt(rain: DrawnRain, fromMin: number, toMin: number): number {
  for (let i = 0; i < rain.count; i++) {
    const at = rain.fromMin[i] as number;
    if (at >= fromMin && at < toMin) return at;
  }
  return Number.POSITIVE_INFINITY;
}
