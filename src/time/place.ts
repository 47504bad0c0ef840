import { clock, dayClock, dayMonth, duration, offset } from './format.ts';
import type { Spot } from './spot.ts';
import {
  daysBetween,
  type Gap,
  type LocalDay,
  localDay,
  type WallReading,
  wallTime,
} from './zone.ts';

export type Sense = 'past' | 'future';

export type When = { ok: true; atMs: number; note?: string } | { ok: false; message: string };

const MINUTE_MS = 60_000;
const DAY_MIN = 1440;
const MAX_BACK_DAYS = 30;
const MAX_AHEAD_DAYS = 400;
/** Beyond this a time isn't shown, only refused: calendars and zones end somewhere. */
const FAR_DAYS = 4000;

interface Context {
  zone: string;
  nowMs: number;
  sense: Sense;
}

/** Chooses the instant of a spot by the rule of the sense, and refuses what the sense rules out. */
export function settle(spot: Spot, context: Context): When {
  const { nowMs, sense } = context;
  if (spot.gap) return { ok: false, message: gapMessage(spot.gap, spot) };
  const [first, second] = spot.instants as [number, number?];
  // A time to the minute that is typed as it comes up may run some seconds ahead of the clock here.
  const slackMs = sense === 'past' && spot.time.secondMs === 0 ? MINUTE_MS - 1 : 0;
  const taken =
    sense === 'past'
      ? spot.instants.findLast((ms) => ms <= nowMs + slackMs)
      : spot.instants.find((ms) => ms >= nowMs);
  const placed = checkPlace(taken ?? first, context, slackMs);
  if (!placed.ok && spot.instants.length > 0 && Math.abs(first - nowMs) < DAY_MIN * MINUTE_MS) {
    return { ok: false, message: `${placed.message} ${wayOut(spot, context)}` };
  }
  if (!placed.ok || second === undefined || taken === undefined) return placed;
  return { ...placed, note: doubledNote(context, spot, taken, taken === first ? second : first) };
}

/** Holds an instant to the sense and to the caps. */
export function checkPlace(atMs: number, context: Context, slackMs = 0): When {
  const { zone, nowMs, sense } = context;
  const aheadMin = (atMs - nowMs) / MINUTE_MS;
  if (!(Math.abs(aheadMin) <= FAR_DAYS * DAY_MIN)) return { ok: false, message: tooFar(sense) };
  const shown = dayClock(zone, atMs, nowMs);
  if (sense === 'past') {
    if (aheadMin > slackMs / MINUTE_MS) {
      return { ok: false, message: `${shown} is still ${duration(Math.max(1, aheadMin))} ahead.` };
    }
    if (-aheadMin > MAX_BACK_DAYS * DAY_MIN) {
      const message = `${shown} is ${duration(aheadMin)} back. No more than ${MAX_BACK_DAYS} days are taken: check the date.`;
      return { ok: false, message };
    }
    return { ok: true, atMs: Math.min(atMs, nowMs) };
  }
  if (aheadMin < 0) {
    return { ok: false, message: `${shown} has passed, ${duration(Math.max(1, -aheadMin))} ago.` };
  }
  if (aheadMin > MAX_AHEAD_DAYS * DAY_MIN) {
    const message = `${shown} is ${duration(aheadMin)} ahead. No more than ${MAX_AHEAD_DAYS} days are taken: check the date.`;
    return { ok: false, message };
  }
  return { ok: true, atMs };
}

function tooFar(sense: Sense): string {
  const most = sense === 'past' ? `${MAX_BACK_DAYS} days back` : `${MAX_AHEAD_DAYS} days ahead`;
  return `That is years away. No more than ${most} are taken: check the unit and the date.`;
}

function isoDay({ year, month, day }: LocalDay): string {
  return `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`;
}

/** The nearest time of the same wall clock that the sense allows, as it would be typed. */
function wayOut(spot: Spot, { zone, nowMs, sense }: Context): string {
  const today = localDay(zone, nowMs);
  const at = wallTime(zone, spot.instants[0] ?? nowMs);
  const nowWall = wallTime(zone, nowMs);
  const [atMin, nowMin] = [at.hour * 60 + at.minute, nowWall.hour * 60 + nowWall.minute];
  const time = clock(zone, spot.instants[0] ?? nowMs);
  const day =
    sense === 'past'
      ? atMin <= nowMin
        ? 'today'
        : 'yesterday'
      : atMin > nowMin
        ? 'today'
        : 'tomorrow';
  // Only helps where it names another day than the one just refused.
  const refusedDay = { [-1]: 'yesterday', 0: 'today', 1: 'tomorrow' }[daysBetween(today, at)];
  return refusedDay === day ? '' : `If you mean ${day}, write "${day} ${time}".`;
}

function gapMessage(gap: Gap, spot: Spot): string {
  const show = (wall: WallReading) =>
    `${isoDay(wall)} ${String(wall.hour).padStart(2, '0')}:${String(wall.minute).padStart(2, '0')}`;
  const [before, after] = [show(gap.lastBefore), show(gap.firstAfter)];
  const { hour, minute } = spot.time;
  const typed = `${String(hour).padStart(2, '0')}:${String(minute).padStart(2, '0')}`;
  return `There is no ${typed} on ${dayMonth(spot.day)}: the clocks change, from ${before} to ${after}. Write "${before}" or "${after}".`;
}

function doubledNote(context: Context, spot: Spot, takenMs: number, otherMs: number): string {
  const { zone, nowMs, sense } = context;
  const typed = clock(zone, takenMs);
  const offsetOf = (ms: number) => offset(wallTime(zone, ms));
  const [which, rest] = takenMs < otherMs ? ['first', 'second'] : ['second', 'first'];
  const taken = `${typed} comes twice that night, as the clocks change. Taken as the ${which}, ${offsetOf(takenMs)}`;
  if (sense === 'past' && otherMs > nowMs) return `${taken}; the ${rest} is still to come.`;
  if (sense === 'future' && otherMs < nowMs) return `${taken}; the ${rest} has passed.`;
  return `${taken}; for the other write "${isoDay(spot.day)} ${typed} ${offsetOf(otherMs)}".`;
}
