import type { LocalDay } from '../../time/zone.ts';
import { dayKey } from '../timetable.ts';
import { cut, dateField, wholeField } from './fields.ts';
import type { GtfsLimits } from './limits.ts';
import { FeedError } from './refusal.ts';
import { readRows } from './rows.ts';
import type { FeedZip } from './zip.ts';

/** Days a service runs, as the feed has them. Days are `YYYY-MM-DD`. */
export interface ServiceDays {
  /** ISO weekdays between `from` and `to`; none where only single days are given. */
  weekdays: number[];
  from?: string;
  to?: string;
  added: string[];
  removed: string[];
}

/** The service days of a feed, by service_id. */
export interface Calendar {
  services: Map<string, ServiceDays>;
  /** First and last day of any service in the feed. */
  covers?: { from: string; to: string };
}

const WEEKDAY_COLUMNS = [
  'monday',
  'tuesday',
  'wednesday',
  'thursday',
  'friday',
  'saturday',
  'sunday',
];

/**
 * Reads calendar.txt and calendar_dates.txt, of which a feed has one or both. Every row is checked;
 * only the services asked for are kept.
 */
export async function readCalendar(
  zip: FeedZip,
  limits: GtfsLimits,
  wanted: (serviceId: string) => boolean,
): Promise<Calendar> {
  if (!zip.has('calendar.txt') && !zip.has('calendar_dates.txt')) {
    const reason =
      'The feed has neither calendar.txt nor calendar_dates.txt at the top of the zip.';
    throw new FeedError({ reason });
  }
  const calendar: Calendar = { services: new Map() };
  await readWeekly(zip, limits, wanted, calendar);
  await readDates(zip, limits, wanted, calendar);
  return calendar;
}

async function readWeekly(
  zip: FeedZip,
  limits: GtfsLimits,
  wanted: (serviceId: string) => boolean,
  calendar: Calendar,
): Promise<void> {
  let count = 0;
  const seen = new Set<string>();
  await readRows(zip, 'calendar.txt', limits, {
    required: ['service_id', ...WEEKDAY_COLUMNS, 'start_date', 'end_date'],
    mandatory: false,
    onRow: (row) => {
      if (++count > limits.calendarRows) throw row.refuse(`More than ${limits.calendarRows} rows.`);
      const id = row.need('service_id');
      if (seen.has(id)) throw row.refuse(`service_id ${cut(id)} comes twice.`);
      seen.add(id);
      const weekdays = WEEKDAY_COLUMNS.flatMap((column, index) =>
        wholeField(row, column, { min: 0, max: 1 }) === 1 ? [index + 1] : [],
      );
      const [from, to] = [dateField(row, 'start_date'), dateField(row, 'end_date')].map(dayKey);
      if (from! > to!) throw row.refuse('end_date is before start_date.');
      widen(calendar, from!, to!);
      if (!wanted(id)) return;
      calendar.services.set(id, { weekdays, from: from!, to: to!, added: [], removed: [] });
    },
  });
}

async function readDates(
  zip: FeedZip,
  limits: GtfsLimits,
  wanted: (serviceId: string) => boolean,
  calendar: Calendar,
): Promise<void> {
  let count = 0;
  const seen = new Set<string>();
  await readRows(zip, 'calendar_dates.txt', limits, {
    required: ['service_id', 'date', 'exception_type'],
    mandatory: false,
    onRow: (row) => {
      if (++count > limits.calendarRows) throw row.refuse(`More than ${limits.calendarRows} rows.`);
      const id = row.need('service_id');
      const day: LocalDay = dateField(row, 'date');
      const type = wholeField(row, 'exception_type', { min: 1, max: 2 });
      const key = dayKey(day);
      if (type === 1) widen(calendar, key, key);
      if (!wanted(id)) return;
      const service = calendar.services.get(id) ?? { weekdays: [], added: [], removed: [] };
      if (seen.has(`${key} ${id}`)) throw row.refuse(`${cut(id)} has two rows for ${key}.`);
      seen.add(`${key} ${id}`);
      (type === 1 ? service.added : service.removed).push(key);
      calendar.services.set(id, service);
    },
  });
}

function widen(calendar: Calendar, from: string, to: string): void {
  const { covers } = calendar;
  calendar.covers = {
    from: !covers || from < covers.from ? from : covers.from,
    to: !covers || to > covers.to ? to : covers.to,
  };
}
