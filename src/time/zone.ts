import { IANAZone } from 'luxon';

/**
 * The one place where local times become instants. luxon's own local-time builders read the system
 * clock to choose between the two instants of a doubled hour and quietly move a time that does not
 * exist, so only its zone offsets are used here, and every answer is checked by going back.
 * All instants are whole milliseconds since the Unix epoch.
 */

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;

/** A calendar day, in whatever zone the context says. Months count from 1. */
export interface LocalDay {
  year: number;
  month: number;
  day: number;
}

/** What a wall clock and a calendar show, to the minute. */
export interface WallTime extends LocalDay {
  hour: number;
  minute: number;
}

export interface WallReading extends WallTime {
  second: number;
  /** Minutes east of UTC; not whole for local mean times of the nineteenth century. */
  offsetMin: number;
  /** ISO 8601: Monday is 1, Sunday 7. */
  weekday: number;
}

/** Wall times that a clock change leaves out. */
export interface Gap {
  /** The instant of the clock change. */
  changeMs: number;
  /** The last whole minute before it, and the first valid time after it. */
  lastBefore: WallReading;
  firstAfter: WallReading;
}

export type Resolved =
  | { ok: true; atMs: number; doubled?: { earlierMs: number; laterMs: number } }
  | { ok: false; reason: 'gap'; gap: Gap }
  | { ok: false; reason: 'doubled'; earlierMs: number; laterMs: number };

/** Whether `name` is a zone of the tz database; a fixed offset such as "+02:00" is not one. */
export function isZone(name: string): boolean {
  const known = zones.get(name);
  if (known !== undefined) return known;
  const is = /^[A-Za-z][\w+/-]{0,63}$/.test(name) && IANAZone.isValidZone(name);
  if (zones.size >= KEPT_ZONES) zones.clear();
  zones.set(name, is);
  return is;
}

/** Answers of `isZone`: asking takes half a millisecond, and a record may ask for each of its entries. */
const zones = new Map<string, boolean>();
const KEPT_ZONES = 1000;

function offsetAt(zone: string, ms: number): number {
  const offset = IANAZone.create(zone).offset(ms);
  if (Number.isNaN(offset)) throw new RangeError(`not a zone or not an instant: ${zone}, ${ms}`);
  return offset;
}

const HOUR_MS = 3_600_000;
const KEPT_HOURS = 50_000;
/** Offsets at whole hours of UTC, by zone: asking for one takes tens of microseconds. */
const hours = new Map<string, number>();

function offsetAtHour(zone: string, hour: number): number {
  const key = `${zone} ${hour}`;
  const known = hours.get(key);
  if (known !== undefined) return known;
  if (hours.size >= KEPT_HOURS) hours.clear();
  const offset = offsetAt(zone, hour * HOUR_MS);
  hours.set(key, offset);
  return offset;
}

/** No clock is changed twice within an hour: the same offset at both its ends holds all of it. */
function offsetMin(zone: string, ms: number): number {
  const hour = Math.floor(ms / HOUR_MS);
  if (!Number.isFinite(hour)) return offsetAt(zone, ms);
  const offset = offsetAtHour(zone, hour);
  return offset === offsetAtHour(zone, hour + 1) ? offset : offsetAt(zone, ms);
}

/** What clock and calendar show in `zone` at an instant. */
export function wallTime(zone: string, ms: number): WallReading {
  const offset = offsetMin(zone, ms);
  const shifted = new Date(ms + Math.round(offset * MINUTE_MS));
  return {
    year: shifted.getUTCFullYear(),
    month: shifted.getUTCMonth() + 1,
    day: shifted.getUTCDate(),
    hour: shifted.getUTCHours(),
    minute: shifted.getUTCMinutes(),
    second: shifted.getUTCSeconds(),
    offsetMin: offset,
    weekday: ((shifted.getUTCDay() + 6) % 7) + 1,
  };
}

/** Whether the calendar has this day (31 June is none), in years 1900 to 2200. */
export function isCalendarDay({ year, month, day }: LocalDay): boolean {
  const date = new Date(Date.UTC(year, month - 1, day));
  return (
    year >= 1900 &&
    year <= 2200 &&
    date.getUTCFullYear() === year &&
    date.getUTCMonth() === month - 1 &&
    date.getUTCDate() === day
  );
}

function asIfUtc(wall: WallTime): number {
  const { year, month, day, hour, minute } = wall;
  const inDay = Number.isInteger(hour) && hour >= 0 && hour <= 23;
  const inHour = Number.isInteger(minute) && minute >= 0 && minute <= 59;
  if (!isCalendarDay(wall) || !inDay || !inHour) {
    throw new RangeError(`not a wall time: ${year}-${month}-${day} ${hour}:${minute}`);
  }
  return Date.UTC(year, month - 1, day, hour, minute);
}

/**
 * The instants at which the clock in `zone` shows `wall`, ascending: none in a gap, two when a clock
 * change repeats the time, else one.
 *
 * @throws RangeError for a day or time that no calendar or clock has
 */
export function instantsOf(zone: string, wall: WallTime): number[] {
  const utcMs = asIfUtc(wall);
  // No zone is a day or more off UTC, so the offset in force at the answer is in force somewhere here.
  const offsets = new Set([-DAY_MS, 0, DAY_MS].map((shift) => offsetMin(zone, utcMs + shift)));
  const found = new Set<number>();
  for (const offset of offsets) {
    const ms = utcMs - Math.round(offset * MINUTE_MS);
    if (offsetMin(zone, ms) === offset) found.add(ms);
  }
  return [...found].sort((a, b) => a - b);
}

/** The clock change that leaves out `wall`, or undefined when the time exists. */
export function gapEdges(zone: string, wall: WallTime): Gap | undefined {
  if (instantsOf(zone, wall).length > 0) return undefined;
  const utcMs = asIfUtc(wall);
  let before = utcMs - DAY_MS;
  let after = utcMs + DAY_MS;
  const offsetBefore = offsetMin(zone, before);
  while (after - before > 1) {
    const middle = Math.floor((before + after) / 2);
    if (offsetMin(zone, middle) === offsetBefore) before = middle;
    else after = middle;
  }
  return {
    changeMs: after,
    lastBefore: wallTime(zone, after - MINUTE_MS),
    firstAfter: wallTime(zone, after),
  };
}

/**
 * The instant of a local time under a stated rule for doubled times. A time in a gap is never moved:
 * the result says which clock change left it out.
 */
export function resolveLocal(
  zone: string,
  wall: WallTime,
  rule: 'earlier' | 'later' | 'reject',
): Resolved {
  const [earlierMs, laterMs] = instantsOf(zone, wall);
  if (earlierMs === undefined) {
    const gap = gapEdges(zone, wall);
    if (gap === undefined) throw new Error('a time without an instant lies in a gap');
    return { ok: false, reason: 'gap', gap };
  }
  if (laterMs === undefined) return { ok: true, atMs: earlierMs };
  if (rule === 'reject') return { ok: false, reason: 'doubled', earlierMs, laterMs };
  const atMs = rule === 'earlier' ? earlierMs : laterMs;
  return { ok: true, atMs, doubled: { earlierMs, laterMs } };
}

/**
 * The first instant at which the clock shows `wall` or later: the earlier of two, and in a gap the
 * clock change itself. For plans that repeat by the day and must have an answer every day.
 */
export function firstInstantOf(zone: string, wall: WallTime): number {
  const resolved = resolveLocal(zone, wall, 'earlier');
  if (resolved.ok) return resolved.atMs;
  return resolved.reason === 'gap' ? resolved.gap.changeMs : resolved.earlierMs;
}

/** The calendar day in `zone` at an instant. */
export function localDay(zone: string, ms: number): LocalDay {
  const { year, month, day } = wallTime(zone, ms);
  return { year, month, day };
}

/** The calendar day `days` later, or earlier when negative; no zone is involved. */
export function addLocalDays(day: LocalDay, days: number): LocalDay {
  const date = new Date(Date.UTC(day.year, day.month - 1, day.day + days));
  return { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate() };
}

/** Whole calendar days from `from` to `to`. */
export function daysBetween(from: LocalDay, to: LocalDay): number {
  const utc = (day: LocalDay) => Date.UTC(day.year, day.month - 1, day.day);
  return Math.round((utc(to) - utc(from)) / DAY_MS);
}

/** ISO weekday of a calendar day: Monday is 1, Sunday 7. */
export function weekdayOf(day: LocalDay): number {
  return ((new Date(Date.UTC(day.year, day.month - 1, day.day)).getUTCDay() + 6) % 7) + 1;
}
