import { durationMin, quote } from './duration.ts';
import { dayMonth, WEEKDAYS } from './format.ts';
import { checkPlace, type Sense, settle, type When } from './place.ts';
import { type ClockTime, type DayWord, type Read, read } from './read.ts';
import { nearestSpot, nextSpot, type Spot, spotOf } from './spot.ts';
import {
  addLocalDays,
  daysBetween,
  isCalendarDay,
  type LocalDay,
  localDay,
  weekdayOf,
} from './zone.ts';

export type { Sense, When } from './place.ts';

export interface WhenContext {
  /** The trip's zone of the tz database. */
  zone: string;
  nowMs: number;
  /** `past` for what has happened, `future` for what is promised or planned. */
  sense: Sense;
  /** In the past sense a bare time is taken nearest to this, when it isn't now that is spoken of. */
  nearMs?: number;
}

const FORMS = {
  past: 'Write it like 14:32, -20m, yesterday 22:40 or 2031-06-12 14:32.',
  future: 'Write it like 18:40, +2h, tomorrow 06:00, sat 18:40 or 2031-06-12 14:32.',
};

/**
 * Reads a time as people say it and places it in the trip's zone.
 *
 * A bare time is, in the past sense, the nearest instant at which the wall shows it, refused when
 * that is still to come; in the future sense the next one. A time left out by a clock change is
 * refused with its two neighbours. A time that comes twice is the latest that has happened, or the
 * earlier to come, and the note says how to name the other. No more than 30 days back or 400 ahead.
 */
export function parseWhen(text: string, context: WhenContext): When {
  const { nowMs, sense } = context;
  const taken = read(text);
  if (!taken) return { ok: false, message: unreadable(text, sense) };
  if (taken.kind === 'now') return { ok: true, atMs: nowMs };
  if (taken.kind === 'shift') return checkPlace(nowMs + taken.min * 60_000, context);

  const fault = faultIn(taken);
  if (fault) return { ok: false, message: fault };
  const found = findSpot(context, taken);
  return 'message' in found ? { ok: false, message: found.message } : settle(found, context);
}

function unreadable(text: string, sense: Sense): string {
  const min = durationMin(text);
  if (min !== undefined) {
    const typed = quote(text);
    const example = sense === 'past' ? `-${typed}` : `+${typed}`;
    return `"${typed}" is a length of time. For ${sense === 'past' ? 'that long ago' : 'that far ahead'} write ${example}.`;
  }
  return `Can't read "${quote(text)}" as a time. ${FORMS[sense]}`;
}

function faultIn(taken: Extract<Read, { kind: 'clock' }>): string | undefined {
  const { hour, minute, offsetMin } = taken.time;
  if (hour > 23 || minute > 59) {
    return 'No clock shows that time. Hours go from 0 to 23 (or 1 to 12 with am, pm), minutes to 59.';
  }
  if (offsetMin !== undefined && Math.abs(offsetMin) > 15 * 60) {
    return 'No zone is that far from UTC. Offsets go like +01:00.';
  }
  return undefined;
}

type Found = Spot | { message: string };

function findSpot(context: WhenContext, { day, time }: { day: DayWord; time: ClockTime }): Found {
  const { zone, nowMs, sense, nearMs = nowMs } = context;
  const today = localDay(zone, nowMs);
  const near = (days: number) => spotOf(zone, addLocalDays(today, days), time);
  switch (day.kind) {
    case 'bare': {
      // Two days either way, because an offset typed with the time may belong to a far zone.
      const days = [-2, -1, 0, 1, 2];
      if (sense === 'future') return nextSpot(days.map(near), nowMs);
      const around = localDay(zone, nearMs);
      const spots = days.map((n) => spotOf(zone, addLocalDays(around, n), time));
      return nearestSpot(spots, nearMs);
    }
    case 'relative':
      return near(day.days);
    case 'weekday': {
      const ahead = (day.weekday - weekdayOf(today) + 7) % 7;
      // Looking back, a day of this week's name that is today stays today, so that a slip of the
      // hour is refused rather than taken for a week ago.
      if (sense === 'past') return near(ahead === 0 ? 0 : ahead - 7);
      return nextSpot([near(ahead), near(ahead + 7)], nowMs);
    }
    case 'date':
      return dated(zone, today, sense, day, time);
  }
}

function dated(
  zone: string,
  today: LocalDay,
  sense: Sense,
  typed: Extract<DayWord, { kind: 'date' }>,
  time: ClockTime,
): Found {
  const { month, day } = typed;
  const years = typed.year === undefined ? [-1, 0, 1].map((n) => today.year + n) : [typed.year];
  const days = years.map((year) => ({ year, month, day })).filter(isCalendarDay);
  const far = (candidate: LocalDay) => {
    const ahead = daysBetween(today, candidate);
    return sense === 'future' && ahead < 0 ? Number.POSITIVE_INFINITY : Math.abs(ahead);
  };
  const [best] = days.sort((a, b) => far(a) - far(b));
  if (!best) return { message: 'No calendar has that day. Check the date.' };
  const weekday = weekdayOf(best);
  if (typed.weekday !== undefined && typed.weekday !== weekday) {
    const said = WEEKDAYS[typed.weekday - 1];
    const message = `${dayMonth(best)} ${best.year} is a ${WEEKDAYS[weekday - 1]}, not a ${said}. Check the date.`;
    return { message };
  }
  return spotOf(zone, best, time);
}
