import { durationMin, quote } from '../time/duration.ts';
import { readTime } from '../time/read.ts';
import { readDays, readExceptions, type TypedDays } from './typed-days.ts';

/** One part of a typed timetable, taken apart. Times are seconds after midnight of the service day. */
export interface TypedClause {
  firstS?: number;
  lastS?: number;
  everyS?: number;
  /** `06:20-18:40`, to be filled by `everyS`. */
  spans: { firstS: number; lastS: number }[];
  times: number[];
  weekdays?: number[];
  notWeekdays: number[];
  season?: { from: string; to: string };
  added: string[];
  removed: string[];
}

const TIME =
  '(?:\\d{1,2}[:.]\\d\\d(?: ?[ap]\\.?m\\b\\.?)?|\\d{1,2} ?[ap]\\.?m\\b\\.?|\\d{4}(?![\\d-])|noon|midnight)';
const RADIO_SPAN = '\\d{4}';
const FILLER =
  /^(?:[ ,.&]+|(?:departs?|departures?|departing|leaves?|leaving|but|runs?|running|at|and|then|service|boat|bus|shuttle|ferry|lift|gondola)(?![a-z]))/;
const FIRST = new RegExp(`^first(?: [a-z]+)?? (?:at )?(${TIME})`);
const LAST = new RegExp(`^last(?: [a-z]+)?? (?:at )?(${TIME})`);
const SPAN = new RegExp(`^(?:from )?(${TIME}|${RADIO_SPAN}) ?(?:-|to|until|till) ?(${TIME})`);
const LISTED = new RegExp(`^(${TIME})`);
const EVERY =
  /^every (half hour|half an hour|quarter of an hour|hour|\d+(?:[.,]\d+)? ?(?:minutes|minute|mins|min|m|hours|hour|hrs|hr|h)?(?![a-z]))/;
const HOURLY = /^(half[- ])?hourly/;
/** A stretch that speaks of days goes on to the next comma, or to where times begin. */
const DAYS =
  /^(.+?)(?=,| first\b| last\b| until\b| from\b| (?:but )?not\b| except\b| every\b| hourly\b| half[- ]hourly\b| (?:at )?\d{1,2}[:.]\d\d| \d{1,2} ?[ap]\.?m\b|$)/;

/** Takes one part apart, or says what in it can't be read. */
export function scanClause(part: string): TypedClause | { message: string } {
  const clause: TypedClause = { spans: [], times: [], notWeekdays: [], added: [], removed: [] };
  let rest = tidy(part);
  let excepting = false;
  while (rest !== '') {
    const filler = FILLER.exec(rest);
    if (filler) {
      rest = rest.slice(filler[0].length);
      continue;
    }
    const taken = takeTimes(rest, clause);
    if (typeof taken === 'object') return taken;
    if (taken > 0) {
      rest = rest.slice(taken);
      excepting = false;
      continue;
    }
    const phrase = DAYS.exec(rest)?.[1]?.trim() ?? rest;
    // "not Sat, Sun": what follows an exception after a comma goes on excepting.
    const days: TypedDays | undefined = (excepting && readExceptions(phrase)) || readDays(phrase);
    if (!days) return { message: unreadable(phrase) };
    const fault = addDays(clause, days);
    if (fault) return { message: fault };
    excepting = days.notWeekdays !== undefined;
    rest = rest.slice(rest.indexOf(phrase) + phrase.length);
  }
  return clause;
}

function tidy(part: string): string {
  return part
    .trim()
    .toLowerCase()
    .replace(/[\u2012-\u2015\u2212]/g, '-')
    .replace(/\s+/g, ' ')
    .replace(/:(?= |$)/g, ',')
    .replace(/\bfrom ([^,]+?) (?:until|till) /g, 'from $1 to ');
}

function unreadable(phrase: string): string {
  if (/holiday/.test(phrase)) {
    return `Holidays aren't known here. List the days instead of "${quote(phrase)}": "not 17 May".`;
  }
  if (/^\d{1,2}[/.]\d{1,2}/.test(phrase)) {
    return `"${quote(phrase)}" could be two days. Write the month as a word: "1 May".`;
  }
  return `Can't read "${quote(phrase)}". Say times (first, last, every, or a list), then days: "1 May-12 Oct, not Sundays".`;
}

/** Takes times off the front: how many characters, 0 for none, or what is wrong with them. */
function takeTimes(rest: string, clause: TypedClause): number | { message: string } {
  const every = EVERY.exec(rest);
  const hourly = HOURLY.exec(rest);
  if (every?.[1] ?? hourly) {
    const min = every?.[1] ? everyMin(every[1]) : hourly?.[1] ? 30 : 60;
    if (min === undefined || min < 1 || min > 1440)
      return { message: `Can't read "${every?.[0]}". Write "every 20 min".` };
    if (clause.everyS !== undefined)
      return { message: 'Two intervals in one part. Put them apart with ";".' };
    clause.everyS = min * 60;
    return (every ?? hourly)![0].length;
  }
  for (const [form, put] of [
    [
      FIRST,
      ([s]: number[]) => {
        clause.firstS = s!;
      },
    ],
    [
      LAST,
      ([s]: number[]) => {
        clause.lastS = s!;
      },
    ],
    [
      SPAN,
      ([a, b]: number[]) => {
        clause.spans.push({ firstS: a!, lastS: b! });
      },
    ],
    [
      LISTED,
      ([s]: number[]) => {
        clause.times.push(s!);
      },
    ],
  ] as const) {
    const match = form.exec(rest);
    if (!match) continue;
    const seconds = match.slice(1).map(secondsOf);
    const bad = seconds.indexOf(undefined);
    if (bad >= 0)
      return { message: `"${match[bad + 1]}" isn't a time of day. Write it like 06:20 or 6:20pm.` };
    put(seconds as number[]);
    return match[0].length;
  }
  return 0;
}

function everyMin(text: string): number | undefined {
  if (text.startsWith('half')) return 30;
  if (text.startsWith('quarter')) return 15;
  if (text === 'hour') return 60;
  // Of a bare number minutes are meant: nothing runs every 20 hours.
  return /^\d+$/.test(text) ? Number(text) : durationMin(text);
}

function secondsOf(text: string): number | undefined {
  const time = readTime(text);
  if (!time || time.hour > 23 || time.minute > 59) return undefined;
  return time.hour * 3600 + time.minute * 60;
}

function addDays(clause: TypedClause, days: TypedDays): string | undefined {
  if (days.season && clause.season) return 'Two seasons in one part. Put them apart with ";".';
  if (days.season) clause.season = days.season;
  if (days.weekdays) clause.weekdays = [...(clause.weekdays ?? []), ...days.weekdays];
  clause.notWeekdays.push(...(days.notWeekdays ?? []));
  clause.added.push(...(days.added ?? []));
  clause.removed.push(...(days.removed ?? []));
  return undefined;
}
