import { clock, dayMonth, offset, WEEKDAYS } from './format.ts';
import { daysBetween, instantsOf, localDay, wallTime } from './zone.ts';

/** Within this many days a weekday can mean one day only. */
const NEAR_DAYS = 3;

/**
 * Local time with its weekday always, and with the date when it is more than three days away: `Thu 14:32`, `Do 14:32`,
 * `Do 12. Juni 14:32`; with the year when it is another one. Names of days and months are those of CLDR by the engine's
 * Intl, but for English, whose own we write everywhere. A time that a clock change repeats carries its offset.
 *
 * @param language a BCP 47 language
 */
export function weekdayClock(language: string, zone: string, atMs: number, nowMs: number): string {
  const wall = wallTime(zone, atMs);
  const today = localDay(zone, nowMs);
  const time = clock(zone, atMs) + (instantsOf(zone, wall).length > 1 ? ` ${offset(wall)}` : '');
  const weekday = weekdayIn(language, wall);
  if (Math.abs(daysBetween(today, wall)) <= NEAR_DAYS) return `${weekday} ${time}`;
  const year = wall.year === today.year ? '' : ` ${wall.year}`;
  return `${weekday} ${dayMonthIn(language, wall)}${year} ${time}`;
}

/** The same without the weekday when it is today. */
export function dayClockIn(language: string, zone: string, atMs: number, nowMs: number): string {
  const today = daysBetween(localDay(zone, nowMs), wallTime(zone, atMs)) === 0;
  const whole = weekdayClock(language, zone, atMs, nowMs);
  return today ? whole.slice(whole.indexOf(' ') + 1) : whole;
}

type Day = { year: number; month: number; day: number; weekday: number };

/** `Thu`, `Do`. */
export function weekdayIn(language: string, day: Day): string {
  if (language === 'en') return WEEKDAYS[day.weekday - 1] ?? '';
  return intl(language, { weekday: 'short' }, day);
}

/** `12 Jun`, `12. Juni`. */
export function dayMonthIn(language: string, day: Omit<Day, 'weekday'>): string {
  if (language === 'en') return dayMonth(day);
  return intl(language, { day: 'numeric', month: 'short' }, day);
}

function intl(
  language: string,
  options: Intl.DateTimeFormatOptions,
  { year, month, day }: Omit<Day, 'weekday'>,
): string {
  // A day of the calendar, whatever zone it is a day of.
  const format = new Intl.DateTimeFormat(language, { ...options, timeZone: 'UTC' });
  return format.format(new Date(Date.UTC(year, month - 1, day)));
}
