import type { ForecastInput } from '../model.ts';
import type { WorkClock } from '../work-clock.ts';

/**
 * A work clock as a scale: the work done by a moment if it never stopped, in minutes from an origin.
 * On it a stage is as long by night as by day, so that times add.
 */
export interface WorkScale {
  clock: WorkClock;
  /** Where each of the clock's segments is measured from, and the work there. */
  fromMin: Float64Array;
  begun: Float64Array;
}

/** The scale of a clock; zero is at `originMin`. */
export function workScale(clock: WorkClock, originMin: number): WorkScale {
  const { ends, rates } = clock;
  // The first segment has no beginning, so it is measured from its end, the last has no end.
  const first = Number.isFinite(ends[0]) ? (ends[0] as number) : originMin;
  const fromMin = Float64Array.from(ends, (_, i) => (i > 0 ? (ends[i - 1] as number) : first));
  const begun = new Float64Array(ends.length);
  const scale: WorkScale = { clock, fromMin, begun };
  for (let i = 1; i < ends.length; i++) {
    const minutes = (fromMin[i] as number) - (fromMin[i - 1] as number);
    begun[i] = (begun[i - 1] as number) + minutes * (rates[i - 1] as number);
  }
  const shift = toWork(scale, originMin);
  for (let i = 0; i < ends.length; i++) begun[i] = (begun[i] as number) - shift;
  return scale;
}

/** The same clock, with the work done in a span times `factor`. */
function stretched(clock: WorkClock, fromMin: number, toMin: number, factor: number): WorkClock {
  const ends: number[] = [];
  const rates: number[] = [];
  clock.ends.forEach((end, i) => {
    const begin = i > 0 ? (clock.ends[i - 1] as number) : Number.NEGATIVE_INFINITY;
    const rate = clock.rates[i] as number;
    for (const cut of [fromMin, toMin, end]) {
      if (cut <= begin || cut > end || cut <= (ends.at(-1) ?? Number.NEGATIVE_INFINITY)) continue;
      ends.push(cut);
      rates.push(cut > fromMin && cut <= toMin ? rate * factor : rate);
    }
  });
  return { ends: Float64Array.from(ends), rates: Float64Array.from(rates) };
}

/** A night that would have to be stretched by more than this share is left as it is. */
const STRETCH_MOST = 0.05;

/**
 * A scale on which every night ends on a whole number of steps: for that it does at most a few
 * percent more or less work than the clock says, as if it were by so much lighter. Whole days then start where a bin has its
 * middle, and nothing is blurred there.
 */
export function scaleByNights(
  clock: WorkClock,
  originMin: number,
  nights: readonly { fromMin: number; toMin: number }[],
  stepMin: number,
): WorkScale {
  let scale = workScale(clock, originMin);
  for (const { fromMin, toMin } of nights) {
    const end = toWork(scale, toMin);
    const gap = Math.round(end / stepMin) * stepMin - end;
    const factor = 1 + gap / (end - toWork(scale, fromMin));
    if (!(Math.abs(factor - 1) < STRETCH_MOST)) continue;
    scale = workScale(stretched(scale.clock, fromMin, toMin, factor), originMin);
  }
  return scale;
}

/** The trip's first planned start, minutes since now: a moment that stays where it is as time passes. */
export function dayZeroMin({ days, nowMs }: Pick<ForecastInput, 'days' | 'nowMs'>): number {
  return ((days[0]?.startMs ?? nowMs) - nowMs) / 60000;
}

/** The first index from `low` on whose value is greater, in growing values; their count when none is. */
function segmentAt(values: Float64Array, value: number, low: number): number {
  let [from, to] = [low, values.length];
  while (from < to) {
    const middle = (from + to) >> 1;
    if ((values[middle] as number) <= value) from = middle + 1;
    else to = middle;
  }
  return from;
}

/** Work by a moment; infinite ones stay as they are. */
export function toWork({ clock, fromMin, begun }: WorkScale, atMin: number): number {
  if (!Number.isFinite(atMin)) return atMin;
  const i = segmentAt(clock.ends, atMin, 0);
  return (begun[i] as number) + (atMin - (fromMin[i] as number)) * (clock.rates[i] as number);
}

/** The moment by which so much work is done: `toWork` backwards. */
export function toWall({ clock, fromMin, begun }: WorkScale, work: number): number {
  if (!Number.isFinite(work)) return work;
  const i = segmentAt(begun, work, 1) - 1;
  return (fromMin[i] as number) + (work - (begun[i] as number)) / (clock.rates[i] as number);
}
