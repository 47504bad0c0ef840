import { daysBetween, instantsOf, localDay, type WallReading, wallTime } from './zone.ts';

export const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
export const MONTHS = [
  ...['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun'],
  ...['Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'],
] as const;

const pad = (value: number) => String(value).padStart(2, '0');

/** Wall time to the minute on the 24-hour clock: `14:32`. Seconds are cut off, not rounded. */
export function clock(zone: string, ms: number): string {
  const { hour, minute } = wallTime(zone, ms);
  return `${pad(hour)}:${pad(minute)}`;
}

/**
 * Wall time with as much of the date as it takes to be clear at `nowMs`: `14:32` today, `Thu 14:32`
 * within three days (the nearest Thursday is the one meant), else `Thu 12 Jun 14:32`, with the year
 * when it is another one. A time that a clock change repeats carries its offset: `02:30 +01:00`.
 */
export function dayClock(zone: string, ms: number, nowMs: number): string {
  const wall = wallTime(zone, ms);
  const today = localDay(zone, nowMs);
  const away = Math.abs(daysBetween(today, wall));
  const time = clock(zone, ms) + (instantsOf(zone, wall).length > 1 ? ` ${offset(wall)}` : '');
  if (away === 0) return time;
  const weekday = WEEKDAYS[wall.weekday - 1];
  if (away <= 3) return `${weekday} ${time}`;
  const year = wall.year === today.year ? '' : ` ${wall.year}`;
  return `${weekday} ${dayMonth(wall)}${year} ${time}`;
}

/** `12 Jun`. */
export function dayMonth(day: { month: number; day: number }): string {
  return `${day.day} ${MONTHS[day.month - 1]}`;
}

/** Offset from UTC as ISO 8601 writes it: `+01:00`. */
export function offset(wall: Pick<WallReading, 'offsetMin'>): string {
  const min = Math.abs(Math.round(wall.offsetMin));
  return `${wall.offsetMin < 0 ? '-' : '+'}${pad(Math.floor(min / 60))}:${pad(min % 60)}`;
}

/** A length of time, to the minute: `40 min`, `2 h 05`, `3 d 4 h` from three days on. */
export function duration(min: number): string {
  const whole = Math.round(Math.abs(min));
  if (whole < 60) return `${whole} min`;
  const hours = Math.floor(whole / 60);
  if (hours < 72) return whole % 60 === 0 ? `${hours} h` : `${hours} h ${pad(whole % 60)}`;
  const wholeHours = Math.round(whole / 60);
  const rest = wholeHours % 24;
  return `${Math.floor(wholeHours / 24)} d${rest === 0 ? '' : ` ${rest} h`}`;
}

/**
 * Where the party stands against a time: `ahead by 20 min`, `on schedule`, `behind by 1 h 05`.
 *
 * @param behindMin minutes behind, negative when ahead
 * @param onScheduleMin up to this many minutes either way it is called on schedule
 */
export function aheadBehind(behindMin: number, onScheduleMin = 5): string {
  if (Math.abs(behindMin) <= onScheduleMin) return 'on schedule';
  return `${behindMin > 0 ? 'behind' : 'ahead'} by ${duration(behindMin)}`;
}
