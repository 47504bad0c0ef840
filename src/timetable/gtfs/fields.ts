import { isCalendarDay, isZone, type LocalDay } from '../../time/zone.ts';
import type { Row } from './rows.ts';

/** Later than the longest service day of the timetable that is stored. */
const MAX_S = 72 * 3600;

/**
 * A Time of the GTFS reference: H:MM:SS or HH:MM:SS, seconds from noon minus twelve hours of the
 * service day, past 24:00:00 for the day after. Undefined where the field is empty.
 */
export function timeField(row: Row, column: string): number | undefined {
  const text = row.get(column);
  if (text === '') return undefined;
  const match = /^(\d{1,3}):([0-5]\d):([0-5]\d)$/.exec(text);
  if (!match) throw row.refuse(`${column} "${cut(text)}" isn't a time like 14:30:00.`);
  const seconds = Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3]);
  if (seconds > MAX_S) throw row.refuse(`${column} ${text} is more than three days on.`);
  return seconds;
}

/** A Date of the GTFS reference, YYYYMMDD. */
export function dateField(row: Row, column: string): LocalDay {
  const text = row.need(column);
  const match = /^(\d{4})(\d\d)(\d\d)$/.exec(text);
  const day = { year: Number(match?.[1]), month: Number(match?.[2]), day: Number(match?.[3]) };
  if (!match || !isCalendarDay(day)) {
    throw row.refuse(`${column} "${cut(text)}" isn't a day like 20310612.`);
  }
  return day;
}

/** A whole number within bounds; `otherwise` where the field is empty. */
export function wholeField(
  row: Row,
  column: string,
  bounds: { min: number; max: number; otherwise?: number },
): number {
  const text = row.get(column);
  if (text === '' && bounds.otherwise !== undefined) return bounds.otherwise;
  const value = /^\d{1,10}$/.test(text) ? Number(text) : Number.NaN;
  if (!(value >= bounds.min && value <= bounds.max)) {
    throw row.refuse(
      `${column} "${cut(text)}" isn't a whole number from ${bounds.min} to ${bounds.max}.`,
    );
  }
  return value;
}

/** A zone of the tz database. */
export function zoneField(row: Row, column: string): string {
  const text = row.need(column);
  if (!isZone(text)) throw row.refuse(`${column} "${cut(text)}" isn't a zone like Europe/Oslo.`);
  return text;
}

/** What stands in a feed, short enough to be repeated. */
export function cut(text: string): string {
  return text.length > 40 ? `${text.slice(0, 39)}…` : text;
}
