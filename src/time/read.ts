import { durationMin } from './duration.ts';
import { MONTHS, WEEKDAYS } from './format.ts';
import type { LocalDay } from './zone.ts';

/** The day a typed time names; `bare` when it names none. Weekdays are ISO, Monday 1. */
export type DayWord =
  | { kind: 'bare' }
  | { kind: 'relative'; days: -1 | 0 | 1 }
  | { kind: 'weekday'; weekday: number }
  | { kind: 'date'; month: number; day: number; year?: number; weekday?: number };

/** A typed time, taken apart but not yet placed. */
export type Read =
  | { kind: 'now' }
  | { kind: 'shift'; min: number }
  | { kind: 'clock'; day: DayWord; time: ClockTime };

export interface ClockTime {
  hour: number;
  minute: number;
  secondMs: number;
  /** Minutes east of UTC, when typed. */
  offsetMin?: number;
}

// A map, because what people type may be the name of something every object has.
const RELATIVE = new Map<string, -1 | 0 | 1>([
  ['yesterday', -1],
  ['today', 0],
  ['tomorrow', 1],
]);
const OFFSET = '(?<offset>z|utc|[+-]\\d\\d(?::?\\d\\d)?)?';
const SECONDS = '(?::(?<second>[0-5]\\d(?:[.,]\\d{1,9})?))?';
const CLOCK = new RegExp(`^(?<hour>\\d{1,2})[:.](?<minute>\\d\\d)${SECONDS} ?${OFFSET}$`);
/** Four figures together, as a radio log has it: 1432, or 1432Z. */
const RADIO = new RegExp(`^(?<hour>\\d\\d)(?<minute>\\d\\d) ?${OFFSET}$`);
const TWELVE = /^(?<hour>\d{1,2})(?:[:.](?<minute>\d\d))? ?(?<half>[ap])\.?m\.?$/;
const ISO_DATE = /^(\d{4})-?(\d\d)-?(\d\d)$/;

/** Takes a typed time apart; undefined where it has none of the forms. Ranges aren't checked. */
export function read(text: string): Read | undefined {
  const tidy = text
    .trim()
    .toLowerCase()
    .replace(/[\u2212\u2012-\u2014]/g, '-')
    .replace(/,/g, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^(at|kl) /, '');
  if (tidy === 'now') return { kind: 'now' };
  return readShift(tidy) ?? readIso(tidy) ?? readClock(tidy);
}

function readShift(tidy: string): Read | undefined {
  const back = /^- ?(.+)$/.exec(tidy) ?? /^(.+) ago$/.exec(tidy);
  const on = /^\+ ?(.+)$/.exec(tidy) ?? /^in (.+)$/.exec(tidy) ?? /^(.+) from now$/.exec(tidy);
  const length = back?.[1] ?? on?.[1];
  if (length === undefined) return undefined;
  const min = durationMin(length.replace(/^an? /, '1 '));
  return min === undefined ? undefined : { kind: 'shift', min: back ? -min : min };
}

function readIso(tidy: string): Read | undefined {
  // RFC 3339 allows a space in place of the T. The basic form writes the time without colons.
  const parts = /^(\d{4}-\d\d-\d\d|\d{8})[t ](.+)$/.exec(tidy);
  const day = readDay(parts?.[1] ?? '');
  const time = readTime((parts?.[2] ?? '').replace(/^(\d\d)(\d\d)(\d\d)/, '$1:$2:$3'));
  return day && time ? { kind: 'clock', day, time } : undefined;
}

function readClock(tidy: string): Read | undefined {
  const bare = readTime(tidy);
  if (bare) return { kind: 'clock', day: { kind: 'bare' }, time: bare };
  // The day may stand before the time or after it.
  const words = tidy.split(' ');
  for (let cut = 1; cut < words.length; cut++) {
    const [head, tail] = [words.slice(0, cut).join(' '), words.slice(cut).join(' ')];
    for (const [dayText, timeText] of [
      [head, tail],
      [tail, head],
    ] as const) {
      const day = readDay(dayText);
      const time = readTime(timeText.replace(/^at /, ''));
      if (day && time) return { kind: 'clock', day, time };
    }
  }
  return undefined;
}

/** A time of day: `14:32`, `14.32`, `1432`, `2:32pm`, `noon`, with or without an offset. Ranges aren't checked. */
export function readTime(text: string): ClockTime | undefined {
  if (text === 'noon') return { hour: 12, minute: 0, secondMs: 0 };
  if (text === 'midnight') return { hour: 0, minute: 0, secondMs: 0 };
  const twelve = TWELVE.exec(text)?.groups;
  if (twelve) {
    const hour = Number(twelve.hour);
    // An hour past twelve is left as it is, for the range check to refuse.
    if (hour < 1 || hour > 12) return { hour: 99, minute: 0, secondMs: 0 };
    const minute = Number(twelve.minute ?? 0);
    return { hour: (hour % 12) + (twelve.half === 'p' ? 12 : 0), minute, secondMs: 0 };
  }
  const groups = (CLOCK.exec(text) ?? RADIO.exec(text))?.groups;
  if (!groups) return undefined;
  return {
    hour: Number(groups.hour),
    minute: Number(groups.minute),
    secondMs: Math.floor(Number(groups.second?.replace(',', '.') ?? 0) * 1000),
    ...(groups.offset === undefined ? {} : { offsetMin: readOffset(groups.offset) }),
  };
}

function readOffset(text: string): number {
  if (text === 'z' || text === 'utc') return 0;
  const digits = text.slice(1).replace(':', '');
  const min = Number(digits.slice(0, 2)) * 60 + Number(digits.slice(2) || 0);
  return text.startsWith('-') ? -min : min;
}

function nameIndex(names: readonly string[], word: string): number {
  // Three letters or more of the name: "sat", "thurs", "june".
  return names.findIndex((name) => word.replace(/\.$/, '').startsWith(name.toLowerCase()));
}

const WEEKDAY = /^(mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?$/;

/** ISO number of a weekday's name or its first letters, plural or not; 0 where it is none. */
export function readWeekday(word: string): number {
  return WEEKDAY.test(word) ? nameIndex(WEEKDAYS, word) + 1 : 0;
}

function readDay(text: string): DayWord | undefined {
  const relative = RELATIVE.get(text);
  if (relative !== undefined) return { kind: 'relative', days: relative };
  const iso = ISO_DATE.exec(text);
  if (iso) {
    const [year, month, day] = iso.slice(1).map(Number) as [number, number, number];
    return { kind: 'date', year, month, day };
  }
  const words = text.split(' ');
  const weekday = readWeekday(words[0] ?? '');
  if (weekday > 0) words.shift();
  if (words.length === 0 && weekday > 0) return { kind: 'weekday', weekday };
  const date = readDate(words.join(' '));
  return date && (weekday > 0 ? { kind: 'date', ...date, weekday } : { kind: 'date', ...date });
}

/** `12 Jun`, `12th June 2031`, `Jun 12`. Figures alone are not taken: 6/12 has two readings. */
export function readDate(text: string): (Omit<LocalDay, 'year'> & { year?: number }) | undefined {
  const match =
    /^(?<day>\d{1,2})(?:st|nd|rd|th|\.)? (?<month>[a-z]{3,9})\.?(?: (?<year>\d{4}))?$/.exec(text) ??
    /^(?<month>[a-z]{3,9})\.? (?<day>\d{1,2})(?:st|nd|rd|th)?(?: (?<year>\d{4}))?$/.exec(text);
  const month = nameIndex(MONTHS, match?.groups?.month ?? '') + 1;
  if (!match?.groups || month === 0) return undefined;
  const { day, year } = match.groups;
  return { month, day: Number(day), ...(year === undefined ? {} : { year: Number(year) }) };
}
