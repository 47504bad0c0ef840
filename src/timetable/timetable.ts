/**
 * Timetables of shuttles. Words of this folder:
 *
 * - timetable: when one stop is left in one direction, as it is stored in a trip.
 * - service: the departures that run on the same days.
 * - service day: the day a departure belongs to, though it may leave after midnight (GTFS reference).
 * - season: the first and the last day of a service, both included, of one year or of every year.
 * - departure: one leaving at one instant.
 * - headway: the time between runs that have no fixed departures.
 * - typed timetable: one that somebody wrote in words, as it stands on a board.
 * - feed: a GTFS Schedule archive. A call is a stop that a route leaves in one direction.
 */
import { type LocalDay, weekdayOf } from '../time/zone.ts';
import type { Service } from '../trip/timetable.ts';

export {
  HEADWAY_MIN_S,
  RUNS_A_DAY,
  type Service,
  type Timetable,
  timetableSchema,
} from '../trip/timetable.ts';

/** A day as `Service` writes it. */
export function dayKey({ year, month, day }: LocalDay): string {
  return `${year}-${dayOfYearKey({ month, day })}`;
}

/** A day of every year as `Service` writes it. */
export function dayOfYearKey({ month, day }: { month: number; day: number }): string {
  return `${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`;
}

/** Whether a service runs on a calendar day. */
export function runsOn(of: Service, day: LocalDay): boolean {
  const key = dayKey(day);
  const yearly = key.slice(5);
  const named = (days: readonly string[]) => days.includes(key) || days.includes(yearly);
  if (named(of.removed)) return false;
  if (named(of.added)) return true;
  return of.weekdays.includes(weekdayOf(day)) && (!of.season || inSeason(of.season, key));
}

function inSeason({ from, to }: { from: string; to: string }, key: string): boolean {
  // Text order is day order, as long as both sides have a year or neither has.
  const since = key.slice(-from.length) >= from;
  const until = key.slice(-to.length) <= to;
  const overNewYear = from.length === to.length && from > to;
  return overNewYear ? since || until : since && until;
}

/** Shuttle departures in order of time, with what they are called. */
export interface Departure {
  atMs: number;
  /** True for the last one of its service day. */
  last: boolean;
}
