import type { ForecastDay, Span } from './model.ts';

/**
 * Turns work into wall time. Work is minutes of climbing by daylight; in the dark a minute of work
 * takes `darkFactor` minutes of wall time, and only while it is dark. Times are minutes since an
 * origin; segment i ends at `ends[i]` (the last one never) and does `rates[i]` work a minute.
 */
export interface WorkClock {
  ends: Float64Array;
  rates: Float64Array;
}

/** A clock from the days' civil dawns and dusks. */
export function workClock(
  days: readonly ForecastDay[],
  darkFactor: number,
  originMs: number,
): WorkClock {
  const changes: { atMin: number; light: boolean }[] = [];
  for (const day of days) {
    if (day.dawnMs !== undefined)
      changes.push({ atMin: (day.dawnMs - originMs) / 60000, light: true });
    if (day.duskMs !== undefined)
      changes.push({ atMin: (day.duskMs - originMs) / 60000, light: false });
  }
  changes.sort((a, b) => a.atMin - b.atMin);
  // Before the first change it was the other way round; without any, the sun decides the whole trip.
  let light = changes[0] ? !changes[0].light : !(days[0]?.darkAllDay ?? false);
  const ends: number[] = [];
  const rates: number[] = [];
  for (const change of changes) {
    ends.push(change.atMin);
    rates.push(light ? 1 : 1 / darkFactor);
    light = change.light;
  }
  ends.push(Number.POSITIVE_INFINITY);
  rates.push(light ? 1 : 1 / darkFactor);
  return { ends: Float64Array.from(ends), rates: Float64Array.from(rates) };
}

/** When work of `workMin` begun at `fromMin` is finished. */
export function finishOf(clock: WorkClock, fromMin: number, workMin: number): number {
  const { ends, rates } = clock;
  if (fromMin === Number.POSITIVE_INFINITY) return fromMin;
  let i = 0;
  while ((ends[i] as number) <= fromMin) i++;
  let t = fromMin;
  let left = workMin;
  for (;;) {
    const rate = rates[i] as number;
    const room = ((ends[i] as number) - t) * rate;
    if (left <= room) return t + left / rate;
    left -= room;
    t = ends[i] as number;
    i++;
  }
}

/** The latest moment work of `workMin` may be begun to be finished by `byMin`: `finishOf` backwards. */
export function latestBegin(clock: WorkClock, byMin: number, workMin: number): number {
  const { ends, rates } = clock;
  if (!Number.isFinite(byMin)) return byMin;
  let i = ends.length - 1;
  while (i > 0 && (ends[i - 1] as number) >= byMin) i--;
  let t = byMin;
  let left = workMin;
  for (;;) {
    const rate = rates[i] as number;
    const from = i > 0 ? (ends[i - 1] as number) : Number.NEGATIVE_INFINITY;
    const room = (t - from) * rate;
    if (left <= room) return t - left / rate;
    left -= room;
    t = from;
    i--;
  }
}

/** Work done between two moments, minutes; none in the pauses. */
export function workBetween(
  clock: WorkClock,
  fromMin: number,
  toMin: number,
  pauses: readonly Span[] = [],
  originMs = 0,
): number {
  let work = spanWork(clock, fromMin, toMin);
  let covered = fromMin;
  const spans = pauses
    .map((p) => [(p.fromMs - originMs) / 60000, (p.toMs - originMs) / 60000] as const)
    .sort((a, b) => a[0] - b[0]);
  for (const [from, to] of spans) {
    // Overlapping pauses count once.
    const begin = Math.max(from, covered);
    const end = Math.min(to, toMin);
    if (end > begin) {
      work -= spanWork(clock, begin, end);
      covered = end;
    }
  }
  return Math.max(0, work);
}

function spanWork({ ends, rates }: WorkClock, fromMin: number, toMin: number): number {
  let work = 0;
  let t = fromMin;
  for (let i = 0; i < ends.length && t < toMin; i++) {
    const end = Math.min(ends[i] as number, toMin);
    if (end > t) {
      work += (end - t) * (rates[i] as number);
      t = end;
    }
  }
  return work;
}
