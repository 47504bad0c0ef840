import { Body, Observer, SearchAltitude, SearchHourAngle, SearchRiseSet } from 'astronomy-engine';
import { firstInstantOf, type LocalDay } from '../../time/zone.ts';

/** Civil twilight begins and ends with the sun's centre 6° below the horizon. */
const CIVIL_DEG = -6;
const HALF_DAY_MS = 43_200_000;
const DAY_MS = 2 * HALF_DAY_MS;

/** Where the sun is looked at: degrees, north and east positive. */
export interface Place {
  /** Degrees, north positive, −90 to 90. */
  lat: number;
  /** Degrees, east positive, −180 to 180. */
  lon: number;
}

/**
 * Light on one local day. A time is undefined where the sun doesn't cross that height between the
 * midnights of the sun before and after it. Flat horizon: walls and gorges shift the real sun by
 * hours, but dawn and dusk by little.
 */
export interface Daylight {
  dawnMs?: number;
  sunriseMs?: number;
  /** When the sun is highest; it decides what the day is where it neither rises nor sets. */
  noonMs: number;
  sunsetMs?: number;
  duskMs?: number;
  /** No civil dawn or dusk, and never darker than that: light enough to climb all round. */
  lightAllDay: boolean;
  /** No civil dawn or dusk, and never lighter than that. */
  darkAllDay: boolean;
}

/**
 * Sun and civil twilight of the solar day whose noon falls on local day `day` in `zone`. The evening
 * belongs to the day before midnight, so that in a northern summer dusk may fall after 24:00.
 *
 * Rise and set are of the sun's upper edge with average refraction (50′), as observatories print them.
 * astronomy-engine meets all 240 times of the tables in tests/ within their rounding; the other
 * package tried there misses six by up to 5 s more, and gives one on a day that has none.
 *
 * @throws RangeError for a place that isn't on the globe
 */
export function daylight(place: Place, zone: string, day: LocalDay): Daylight {
  if (!(Math.abs(place.lat) <= 90 && Math.abs(place.lon) <= 180)) {
    throw new RangeError(`no such place: ${place.lat}, ${place.lon}`);
  }
  const observer = new Observer(place.lat, place.lon, 0);
  const clockNoonMs = firstInstantOf(zone, { ...day, hour: 12, minute: 0 });
  const turn = (hourAngle: number, fromMs: number) =>
    SearchHourAngle(Body.Sun, observer, hourAngle, new Date(fromMs)).time.date.getTime();
  const noonMs = turn(0, clockNoonMs - HALF_DAY_MS);
  const fromMs = turn(12, noonMs - 0.75 * DAY_MS);
  const toMs = turn(12, noonMs);

  const cross = (direction: 1 | -1, height: 'edge' | 'civil'): number | undefined => {
    const [start, end] = direction === 1 ? [fromMs, noonMs] : [noonMs, toMs];
    const limitDays = (end - start) / DAY_MS;
    const found =
      height === 'edge'
        ? SearchRiseSet(Body.Sun, observer, direction, new Date(start), limitDays)
        : SearchAltitude(Body.Sun, observer, direction, new Date(start), limitDays, CIVIL_DEG);
    return found?.date.getTime();
  };

  const [dawnMs, duskMs] = [cross(1, 'civil'), cross(-1, 'civil')];
  const [sunriseMs, sunsetMs] = [cross(1, 'edge'), cross(-1, 'edge')];
  const noCivil = dawnMs === undefined && duskMs === undefined;
  const high = noonAltitudeDeg(observer, noonMs) > CIVIL_DEG;
  return {
    noonMs,
    lightAllDay: noCivil && high,
    darkAllDay: noCivil && !high,
    ...(dawnMs === undefined ? {} : { dawnMs }),
    ...(sunriseMs === undefined ? {} : { sunriseMs }),
    ...(sunsetMs === undefined ? {} : { sunsetMs }),
    ...(duskMs === undefined ? {} : { duskMs }),
  };
}

function noonAltitudeDeg(observer: Observer, noonMs: number): number {
  return SearchHourAngle(Body.Sun, observer, 0, new Date(noonMs - 60_000)).hor.altitude;
}
