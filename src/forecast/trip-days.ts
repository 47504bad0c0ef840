import {
  addLocalDays,
  daysBetween,
  firstInstantOf,
  type LocalDay,
  localDay,
  wallTime,
} from '../time/zone.ts';
import { departures } from '../timetable/departures.ts';
import type { TripState } from '../trip/state.ts';
import { type ClockTime, forecastDays } from './daylight/days.ts';
import { underHorizon } from './daylight/horizon.ts';
import { figuresOf } from './figures.ts';
import type { ForecastDay } from './model.ts';

const MINUTE = 60_000;
const DAY_MS = 86_400_000;
/** Days ahead that an ascent may take; enough for three days with a wet-rock hold between. */
const DAYS_AHEAD = 9;
/** Days back that are worked through; what was told before is as far behind as the wall is long. */
const DAYS_BACK = 30;
const STILL_TODAY_MS = DAY_MS / 4;

/** Whether anything was told of a pitch. */
export function begun(state: TripState): boolean {
  return state.pitches.some((p) => p.started ?? p.fixed ?? p.done);
}

/** First local day of climbing: told, else set, else today unless its start is long past. */
export function firstDay(state: TripState, nowMs: number): LocalDay {
  const told = state.pitches[0]?.started ?? state.pitches.find((p) => p.done)?.done;
  const { zone, settings } = state;
  if (told !== undefined) return localDay(zone, told.atMs);
  if (state.departedAtMs !== undefined) return localDay(zone, state.departedAtMs);
  const today = localDay(zone, nowMs);
  if (settings.firstDay !== undefined) {
    const [year, month, day] = settings.firstDay.split('-').map(Number) as [number, number, number];
    const set = { year, month, day };
    if (daysBetween(today, set) >= 0) return set;
  }
  // A party that is a little late still means today.
  const lateMs = nowMs - firstInstantOf(zone, { ...today, ...clockTime(settings.startClock) });
  return lateMs <= STILL_TODAY_MS ? today : addLocalDays(today, 1);
}

/** The days of the trip, from its first day of climbing on; a day starts by the plan, or as all do. */
export function daysOf(state: TripState, nowMs: number): ForecastDay[] {
  const { zone, settings, place } = state;
  const today = localDay(zone, nowMs);
  const told = firstDay(state, nowMs);
  const first = daysBetween(told, today) > DAYS_BACK ? addLocalDays(today, -DAYS_BACK) : told;
  const { lat, lon } = place;
  const { horizonMin } = figuresOf(state);
  const flat = forecastDays({
    zone,
    ...(lat === undefined || lon === undefined ? {} : { place: { lat, lon } }),
    firstDay: first,
    count: Math.max(0, daysBetween(first, today)) + DAYS_AHEAD,
    start: clockTime(settings.startClock),
    starts: startsOf(state, first),
    stop: clockTime(settings.stopClock),
  });
  return flat.map((day) => underHorizon(day, horizonMin));
}

/** Starts of single days: a clock time, or the first shuttle of the day and the approach after it. */
function startsOf(state: TripState, first: LocalDay): (ClockTime | undefined)[] {
  const last = Math.max(0, ...state.starts.keys());
  return Array.from({ length: last }, (_, n) => {
    const start = state.starts.get(n + 1);
    if (start !== 'shuttle') return start === undefined ? undefined : clockTime(start);
    return afterShuttle(state, addLocalDays(first, n));
  });
}

/** The first move of a party that takes that day's first shuttle; undefined where none runs that day. */
function afterShuttle({ shuttle, zone, settings }: TripState, day: LocalDay) {
  if (shuttle === undefined) return undefined;
  const dayMs = firstInstantOf(zone, { ...day, hour: 0, minute: 0 });
  const [coming] = departures(shuttle.timetable, dayMs, dayMs + DAY_MS);
  if (coming === undefined) return undefined;
  const wall = wallTime(zone, coming.atMs + settings.approachMin * MINUTE);
  return daysBetween(day, wall) === 0 ? { hour: wall.hour, minute: wall.minute } : undefined;
}

function clockTime(clock: string): { hour: number; minute: number } {
  const [hour, minute] = clock.split(':').map(Number) as [number, number];
  return { hour, minute };
}

/**
 * When pitch 1 is begun if nobody told: the day's start, or the end of the approach when that is later.
 * Undefined where it was told, and where posts are there but the approach isn't known.
 */
export function plannedStart(
  state: TripState,
  days: readonly ForecastDay[],
  nowMs: number,
): number | undefined {
  const start = days[0]?.startMs;
  const { approachMin } = state.settings;
  const told = begun(state) && (approachMin === 0 || state.pitches[0]?.started !== undefined);
  if (start === undefined || told) return undefined;
  if (state.departedAtMs !== undefined) {
    return Math.max(start, state.departedAtMs + approachMin * MINUTE);
  }
  return begun(state) ? undefined : Math.max(start, nowMs);
}

/** Departed, with an approach nobody told the length of: the climb may begin any time after. */
export function startUnsure(state: TripState): boolean {
  return state.departedAtMs !== undefined && state.settings.approachMin === 0 && !begun(state);
}
