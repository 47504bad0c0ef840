import { readDate, readWeekday } from '../time/read.ts';
import { isCalendarDay } from '../time/zone.ts';
import { dayKey, dayOfYearKey } from './timetable.ts';

/** Days of a typed timetable, as far as one part of it says. */
export interface TypedDays {
  season?: { from: string; to: string };
  weekdays?: number[];
  notWeekdays?: number[];
  removed?: string[];
  added?: string[];
}

const GROUPS = new Map([
  ['daily', [1, 2, 3, 4, 5, 6, 7]],
  ['every day', [1, 2, 3, 4, 5, 6, 7]],
  ['weekdays', [1, 2, 3, 4, 5]],
  ['working days', [1, 2, 3, 4, 5]],
  ['weekends', [6, 7]],
  ['weekend', [6, 7]],
]);

/**
 * Reads a part that speaks of days: `1 May-12 Oct`, `from 1 May`, `until 12 Oct`, `Mon-Fri`,
 * `Sat and Sun`, `weekends`, `not Sundays`, `except 17 May`, `12 June`. The text is lower case with
 * plain hyphens. Undefined where it speaks of something else.
 */
export function readDays(text: string): TypedDays | undefined {
  const not = NOT.exec(text)?.[1];
  if (not) return readExceptions(not);
  const tidy = text.replace(/^(?:only |on )+/, '');
  const weekdays = readWeekdays(tidy);
  if (weekdays) return { weekdays };
  const season = readSeason(tidy);
  if (season) return { season };
  const days = readDayList(tidy);
  return days && { added: days, weekdays: [] };
}

const NOT = /^(?:not|no|never|except|but not)(?: on)? (.+)$/;

/** What follows `not`: weekdays, days, or both: `Sundays and 17 May`. */
export function readExceptions(text: string): TypedDays | undefined {
  const found: Required<Pick<TypedDays, 'notWeekdays' | 'removed'>> = {
    notWeekdays: [],
    removed: [],
  };
  for (const part of text.split(/ ?(?:,|&| and | or ) ?/)) {
    const weekdays = readWeekdays(part.replace(/^on /, ''));
    const day = weekdays ? undefined : readDay(part.replace(/^on /, ''));
    if (!weekdays && day === undefined) return undefined;
    found.notWeekdays.push(...(weekdays ?? []));
    if (day !== undefined) found.removed.push(day);
  }
  return found;
}

/** `sat`, `mon-fri`, `fri to mon`, `sat and sun`, `sat & sun`. */
function readWeekdays(text: string): number[] | undefined {
  const group = GROUPS.get(text);
  if (group) return group;
  const found = new Set<number>();
  for (const part of text.split(/ ?(?:,|&|\+|\/| and ) ?/)) {
    const ends = part.split(/ ?(?:-| to | through ) ?/).map(readWeekday);
    const [from, to = from] = ends;
    if (!from || !to || ends.length > 2) return undefined;
    // Friday to Monday goes over the weekend.
    for (let day = from; ; day = (day % 7) + 1) {
      found.add(day);
      if (day === to) break;
    }
  }
  return [...found].sort((a, b) => a - b);
}

function readSeason(text: string): { from: string; to: string } | undefined {
  const from = /^(?:from|since) (.+)$/.exec(text)?.[1];
  const to = /^(?:until|till|to|up to) (.+)$/.exec(text)?.[1];
  // An open season runs to the end of the year where its day is of every year.
  const until = to === undefined ? undefined : readDay(to);
  if (until) return { from: until.length === 5 ? '01-01' : '1900-01-01', to: until };
  // An ISO date has hyphens of its own, so the halves are tried at every hyphen.
  const range = (from ?? text).replace(/ (?:to|until|till|through) /, ' - ');
  for (const match of range.matchAll(/ ?- ?/g)) {
    const first = readDay(range.slice(0, match.index).trim());
    const last = readDay(range.slice(match.index + match[0].length).trim());
    if (first && last) return withYear(first, last);
  }
  const since = from === undefined ? undefined : readDay(from);
  if (!since) return undefined;
  return { from: since, to: since.length === 5 ? '12-31' : '2200-12-31' };
}

/** `1 May - 12 Oct 2031`: a year on one side is meant for both. */
function withYear(from: string, to: string): { from: string; to: string } {
  if (from.length === to.length) return { from, to };
  const year = Number((from.length > to.length ? from : to).slice(0, 4));
  const [fromYearly, toYearly] = [from.slice(-5), to.slice(-5)];
  const over = fromYearly > toYearly;
  if (from.length > to.length) return { from, to: `${year + (over ? 1 : 0)}-${toYearly}` };
  return { from: `${year - (over ? 1 : 0)}-${fromYearly}`, to };
}

function readDayList(text: string): string[] | undefined {
  const days = text.split(/ ?(?:,|&| and ) ?/).map(readDay);
  return days.every((day) => day !== undefined) ? days : undefined;
}

/** A day of a year or of every year, as `Service` writes it. */
function readDay(text: string): string | undefined {
  const iso = /^(\d{4})-(\d\d)-(\d\d)$/.exec(text);
  const date = iso
    ? { year: Number(iso[1]), month: Number(iso[2]), day: Number(iso[3]) }
    : readDate(text);
  // A leap year stands in for "every year", so that 29 February is a day.
  if (!date || !isCalendarDay({ ...date, year: date.year ?? 2024 })) return undefined;
  const { year, month, day } = date;
  return year === undefined ? dayOfYearKey({ month, day }) : dayKey({ year, month, day });
}
