import { type LocalDay, weekdayOf } from '../time/zone.ts';
import type { Service } from '../trip/timetable.ts';

export { type Service, type Timetable, timetableSchema } from '../trip/timetable.ts';

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
