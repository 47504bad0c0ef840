import {
  addLocalDays,
  daysBetween,
  firstInstantOf,
  instantsOf,
  type LocalDay,
  localDay,
  wallTime,
} from '../time/zone.ts';
import { type Departure, runsOn, type Timetable } from './timetable.ts';

const DAY_S = 86_400;
const HOUR_MS = 3_600_000;
const MAX_DAYS = 400;
/** A service day may run into the third day after it began. */
const DAYS_BACK = 4;

/** A departure, or a run without a fixed time. */
export interface ShuttleDeparture extends Departure {
  /** Minutes between runs where there is no fixed timetable: it leaves within that time. */
  everyMin?: number;
}

/**
 * Every departure in [fromMs, toMs), in order of time, none twice. `last` marks the last one of each
 * service day, which may fall after midnight.
 *
 * A wall time that a clock change leaves out leaves at the change; one that comes twice leaves at the
 * first, so that nobody comes too late for it. Runs without fixed times are listed at their headway
 * from the first on.
 *
 * @throws RangeError for more than 400 days
 */
export function departures(timetable: Timetable, fromMs: number, toMs: number): ShuttleDeparture[] {
  const lastDay = localDay(timetable.zone, toMs);
  let day = addLocalDays(localDay(timetable.zone, fromMs), -DAYS_BACK);
  if (daysBetween(day, lastDay) > MAX_DAYS) throw new RangeError(`more than ${MAX_DAYS} days`);
  const found = new Map<number, ShuttleDeparture>();
  for (; daysBetween(day, lastDay) >= 0; day = addLocalDays(day, 1)) {
    const ofDay = departuresOfDay(timetable, day);
    for (const departure of ofDay) {
      if (departure.atMs < fromMs || departure.atMs >= toMs) continue;
      const known = found.get(departure.atMs);
      found.set(
        departure.atMs,
        known ? { ...departure, last: known.last || departure.last } : departure,
      );
    }
  }
  return [...found.values()].sort((a, b) => a.atMs - b.atMs);
}

/** Departures of one service day, in order of time, the last one marked. */
export function departuresOfDay(timetable: Timetable, day: LocalDay): ShuttleDeparture[] {
  const instant = instantOf(timetable, day);
  if (!instant) return [];
  const found: ShuttleDeparture[] = [];
  for (const service of timetable.services) {
    if (!runsOn(service, day)) continue;
    for (const time of service.times) found.push({ atMs: instant(time), last: false });
    for (const { fromS, toS, everyS } of service.headways) {
      for (let s = fromS; s < toS; s += everyS) {
        found.push({ atMs: instant(s), last: false, everyMin: everyS / 60 });
      }
    }
  }
  found.sort((a, b) => a.atMs - b.atMs);
  const last = found[found.length - 1];
  if (last) last.last = true;
  return found;
}

/** Whether the zone's clock is changed within a service day, which may run into the third day after. */
function clockChanges(zone: string, noonMs: number): boolean {
  const offsetAt = (hour: number) => wallTime(zone, noonMs + hour * HOUR_MS).offsetMin;
  const first = offsetAt(-14);
  return Array.from({ length: 24 * DAYS_BACK }, (_, i) => i - 13).some(
    (h) => offsetAt(h) !== first,
  );
}

/** How seconds of a service day become instants; undefined on a day that the zone skipped. */
function instantOf(timetable: Timetable, day: LocalDay): ((s: number) => number) | undefined {
  const { zone } = timetable;
  const [noonMs] = instantsOf(zone, { ...day, hour: 12, minute: 0 });
  if (noonMs === undefined) return undefined;
  const straight = (s: number) => noonMs + (s - DAY_S / 2) * 1000;
  if (timetable.clock === 'gtfs' || !clockChanges(zone, noonMs)) return straight;
  return (s) => {
    const minuteOfDay = Math.floor((s % DAY_S) / 60);
    const wall = { hour: Math.floor(minuteOfDay / 60), minute: minuteOfDay % 60 };
    const wallDay = addLocalDays(day, Math.floor(s / DAY_S));
    return firstInstantOf(zone, { ...wallDay, ...wall }) + (s % 60) * 1000;
  };
}
