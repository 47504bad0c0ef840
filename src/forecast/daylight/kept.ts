import type { LocalDay } from '../../time/zone.ts';
import { type Daylight, daylight, type Place } from './daylight.ts';

/** A day's light takes milliseconds to find and never changes; a trip asks for the same days again and again. */
const kept = new Map<string, Daylight>();
const KEPT_MAX = 2000;

/** The day's light as `daylight` finds it; the same object for the same place, zone and day. */
export function keptDaylight(place: Place, zone: string, day: LocalDay): Daylight {
  const key = `${place.lat} ${place.lon} ${zone} ${day.year}-${day.month}-${day.day}`;
  const known = kept.get(key);
  if (known !== undefined) return known;
  const found = daylight(place, zone, day);
  kept.set(key, found);
  for (const oldest of kept.keys()) {
    if (kept.size <= KEPT_MAX) break;
    kept.delete(oldest);
  }
  return found;
}
