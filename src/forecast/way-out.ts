import type { Settings } from './defaults.ts';
import type { ForecastInput } from './model.ts';
import { walkMin } from './walking/din33466.ts';
import { finishOf, latestBegin, type WorkClock, workClock } from './work-clock.ts';

/** From the top to the road: descent, timetable, walk. Times are minutes since now. */
export interface WayOut {
  clock: WorkClock;
  /** Lognormal in minutes: log of the median, and standard deviation of the logarithm. */
  descent: { mu: number; sigma: number };
  walk: { mu: number; sigma: number } | undefined;
  /** Departures in order; the party must be there `boardMin` before. */
  departureMin: Float64Array;
  /** 1 for the last of its service day. */
  lastOfDay: Uint8Array;
  boardMin: number;
}

/** Median minutes of the descent, by daylight. */
export function descentMedianMin(descent: ForecastInput['descent']): number {
  return descent.kind === 'given' ? descent.min : walkMin(descent);
}

/** Compiles the way out. Descent and walk go on through the night, slower in the dark. */
export function wayOut(input: ForecastInput, s: Settings): WayOut {
  const departures = [...(input.departures ?? [])].sort((a, b) => a.atMs - b.atMs);
  const log = (min: number): number => Math.log(Math.max(min, 0.01));
  const loaded = input.haulBag && input.descent.kind === 'walk' ? s.loadedDescentFactor : 1;
  return {
    clock: workClock(input.days, s.darkDescentFactor, input.nowMs),
    descent: { mu: log(loaded * descentMedianMin(input.descent)), sigma: s.sigmaDescent },
    walk: input.walkOut ? { mu: log(walkMin(input.walkOut)), sigma: s.sigmaWalk } : undefined,
    departureMin: Float64Array.from(departures, (d) => (d.atMs - input.nowMs) / 60000),
    lastOfDay: Uint8Array.from(departures, (d) => (d.last ? 1 : 0)),
    boardMin: s.boardMin,
  };
}

/** Index of the first departure a party at the stop at `atMin` can board; the count when none is left. */
export function nextDeparture(way: WayOut, atMin: number): number {
  let low = 0;
  let high = way.departureMin.length;
  const ready = atMin + way.boardMin;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((way.departureMin[middle] as number) < ready) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** How the party leaves the trailhead. */
export interface Leaving {
  /** When it boards, or is out on foot. Infinity: no departure in the timetable and no walk given. */
  atMin: number;
  /** Index of the departure; −1 on foot. */
  departure: number;
}

/**
 * The next shuttle, if one leaves today. If today's last one is gone the party walks out, unless the
 * next service day's first leaves before it would be out.
 */
export function leave(way: WayOut, trailheadMin: number, walkWorkMin: number): Leaving {
  const next = nextDeparture(way, trailheadMin);
  const departsMin = way.departureMin[next] ?? Number.POSITIVE_INFINITY;
  const gone = next === way.departureMin.length || (next > 0 && way.lastOfDay[next - 1] === 1);
  if (gone && way.walk) {
    const outMin = finishOf(way.clock, trailheadMin, walkWorkMin);
    if (outMin < departsMin) return { atMin: outMin, departure: -1 };
  }
  return { atMin: departsMin, departure: departsMin === Number.POSITIVE_INFINITY ? -1 : next };
}

/** Latest top-out that still has the party at the trailhead by `byMin`. */
export function latestTopout(way: WayOut, byMin: number, descentWorkMin: number): number {
  return latestBegin(way.clock, byMin, descentWorkMin);
}
