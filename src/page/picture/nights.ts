import { daylight } from '../../forecast/daylight/daylight.ts';
import { underHorizon } from '../../forecast/daylight/horizon.ts';
import { figuresOf } from '../../forecast/figures.ts';
import { addLocalDays, type LocalDay, localDay } from '../../time/zone.ts';
import type { TripState } from '../../trip/state.ts';

/** A picture spans days; the bound keeps a wrong clock from running on for ever. */
const DAYS_MAX = 20;

/** Spans darker than civil twilight that touch a span of time; none without a place. */
export function nightsOf(
  state: Pick<TripState, 'place' | 'zone' | 'settings'>,
  span: { fromMs: number; toMs: number },
): { fromMs: number; toMs: number }[] {
  const { place, zone } = state;
  if (place.lat === undefined || place.lon === undefined) return [];
  const where = { lat: place.lat, lon: place.lon };
  const { horizonMin } = figuresOf(state);
  const lightOn = (on: LocalDay) => underHorizon(daylight(where, zone, on), horizonMin);
  const nights: { fromMs: number; toMs: number }[] = [];
  let day = addLocalDays(localDay(zone, span.fromMs), -1);
  let light = lightOn(day);
  for (let i = 0; i < DAYS_MAX && light.noonMs < span.toMs; i++) {
    day = addLocalDays(day, 1);
    const next = lightOn(day);
    // From dusk to dawn; from noon to noon where the sun brings neither.
    const dark = !(light.lightAllDay || next.lightAllDay);
    const fromMs = light.duskMs ?? (light.darkAllDay ? light.noonMs : undefined);
    const toMs = next.dawnMs ?? (next.darkAllDay ? next.noonMs : undefined);
    if (dark && fromMs !== undefined && toMs !== undefined && toMs > fromMs) {
      nights.push({ fromMs, toMs });
    }
    light = next;
  }
  return nights.filter((n) => n.toMs > span.fromMs && n.fromMs < span.toMs + HALF_DAY_MS);
}

const HALF_DAY_MS = 43_200_000;
