import { addLocalDays, firstInstantOf, type LocalDay } from '../../time/zone.ts';
import type { ForecastDay } from '../model.ts';
import type { Place } from './daylight.ts';
import { keptDaylight } from './kept.ts';

/** A time of day that a plan repeats every day. */
export interface ClockTime {
  hour: number;
  minute: number;
}

/** Which days are wanted, and the party's hours on them. */
export interface DaysPlan {
  zone: string;
  /** Where the wall stands; without it no day has a dawn or dusk. */
  place?: Place;
  firstDay: LocalDay;
  count: number;
  start: ClockTime;
  /** Starts of single days by day of the trip, instead of `start`. */
  starts?: readonly (ClockTime | undefined)[];
  /** No pitch is begun after this; earlier in the day than `start` means after midnight. */
  stop: ClockTime;
}

/**
 * The days of a trip as the forecast takes them. Start and stop go by the wall clock; where a clock
 * change leaves one out, it is the change itself.
 */
export function forecastDays(plan: DaysPlan): ForecastDay[] {
  const { zone, place, stop } = plan;
  const minute = (clock: ClockTime): number => clock.hour * 60 + clock.minute;
  const afterMidnight = minute(stop) <= minute(plan.start);
  return Array.from({ length: plan.count }, (_, n): ForecastDay => {
    const day = addLocalDays(plan.firstDay, n);
    const start = plan.starts?.[n] ?? plan.start;
    const stopDay = afterMidnight ? addLocalDays(day, 1) : day;
    const times = {
      startMs: firstInstantOf(zone, { ...day, ...start }),
      stopMs: firstInstantOf(zone, { ...stopDay, ...stop }),
    };
    if (!place) return times;
    const { dawnMs, duskMs, darkAllDay } = keptDaylight(place, zone, day);
    return {
      ...times,
      ...(dawnMs === undefined ? {} : { dawnMs }),
      ...(duskMs === undefined ? {} : { duskMs }),
      ...(darkAllDay ? { darkAllDay } : {}),
    };
  });
}
