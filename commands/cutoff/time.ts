import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { toldTime } from '../../src/app/when.ts';
import { daylight } from '../../src/forecast/daylight/daylight.ts';
import { underHorizon } from '../../src/forecast/daylight/horizon.ts';
import { figuresOf } from '../../src/forecast/figures.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock, dayMonth, WEEKDAYS } from '../../src/time/format.ts';
import { parseWhen } from '../../src/time/parse.ts';
import {
  addLocalDays,
  firstInstantOf,
  type LocalDay,
  localDay,
  weekdayOf,
} from '../../src/time/zone.ts';
import { departures, departuresOfDay } from '../../src/timetable/departures.ts';
import type { Cutoff } from '../../src/trip/kinds/cutoff.ts';
import type { TripState } from '../../src/trip/state.ts';

const DAY_MS = 86_400_000;

/** What a cutoff's time is worked out from. */
interface Asked {
  kind: Cutoff['kind'];
  /** A time; for dark and shuttle only its day counts. */
  at?: string | undefined;
}

const LABEL: Record<Exclude<Cutoff['kind'], 'dark' | 'shuttle'>, string> = {
  permit: 'Permit',
  weather: 'Weather',
  own: 'Own time',
};

/** When it binds, and what it is called unless the party named it. Told, or worked out for its day. */
export async function timeOf(
  app: App,
  call: Call,
  state: TripState,
  asked: Asked,
): Promise<{ label: string; atMs: number }> {
  const { kind, at } = asked;
  if (kind === 'dark') {
    return { label: 'Dark', atMs: dusk(state, await dayOf(app, call, state, asked)) };
  }
  if (kind === 'shuttle') {
    const label = `Last ${state.shuttle?.name}`;
    const forecast = at === undefined ? await forecastOf(app, state, call.atMs) : undefined;
    // The same one that binds by itself.
    if (forecast?.shuttle !== undefined) return { label, atMs: forecast.shuttle.lastMs };
    return { label, atMs: lastShuttle(state, await dayOf(app, call, state, asked), call.atMs) };
  }
  if (at === undefined) {
    throw new Refusal('needs-value', [
      'When? A time is needed: at:"sat 18:40", at:+6h, or 2031-06-13 18:40.',
    ]);
  }
  return { label: LABEL[kind], atMs: toldTime(state, call, at, 'future').atMs };
}

/** The day named; else the day the forecast has the party on top (for the shuttle: at the trailhead). */
async function dayOf(app: App, call: Call, state: TripState, asked: Asked): Promise<LocalDay> {
  if (asked.at !== undefined) {
    const spoken = /^\s*(today|tomorrow)\s*$/i.test(asked.at) || !/\d:\d|\d[ap]m/i.test(asked.at);
    const text = spoken ? `${asked.at} 23:59` : asked.at;
    const when = parseWhen(text, { zone: state.zone, nowMs: call.atMs, sense: 'future' });
    if (!when.ok) throw new Refusal('unreadable-time', [when.message]);
    return localDay(state.zone, when.atMs);
  }
  const forecast = await forecastOf(app, state, call.atMs);
  if (forecast === undefined) {
    throw new Refusal('needs-value', [
      "On which day? Without a topo it can't be forecast: at:tomorrow, at:sat.",
    ]);
  }
  const ms = asked.kind === 'dark' ? forecast.topout.q50 : forecast.trailhead.q50;
  const day = localDay(state.zone, Number.isFinite(ms) ? ms : call.atMs);
  // Who is up before dawn was overtaken by the dark of the evening before.
  return asked.kind === 'dark' && beforeDawn(state, day, ms) ? addLocalDays(day, -1) : day;
}

function beforeDawn(state: TripState, day: LocalDay, ms: number): boolean {
  const { lat, lon } = state.place;
  if (lat === undefined || lon === undefined) return false;
  const { dawnMs } = lightOf(state, { lat, lon }, day);
  return dawnMs !== undefined && ms < dawnMs;
}

/** The day's light where the party is, under its own horizon. */
function lightOf(state: TripState, place: { lat: number; lon: number }, day: LocalDay) {
  return underHorizon(daylight(place, state.zone, day), figuresOf(state).horizonMin);
}

function dusk(state: TripState, day: LocalDay): number {
  const { lat, lon } = state.place;
  if (lat === undefined || lon === undefined) {
    throw new Refusal('no-place', [
      'Dusk needs the place of the wall.',
      ['Like ', { code: '/trip edit lat:62.31 lon:6.84' }],
    ]);
  }
  const light = lightOf(state, { lat, lon }, day);
  if (light.duskMs !== undefined) return light.duskMs;
  throw new Refusal(
    'not-that-day',
    light.darkAllDay
      ? 'It is dark all day then; a dark cutoff would mean nothing.'
      : 'It does not get dark there then; no cutoff is needed.',
  );
}

function lastShuttle({ shuttle, zone }: TripState, day: LocalDay, nowMs: number): number {
  if (shuttle === undefined) {
    throw new Refusal('no-timetable', [
      'There is no timetable yet.',
      '/shuttle add takes one as you would say it.',
    ]);
  }
  const last = departuresOfDay(shuttle.timetable, day).at(-1);
  if (last !== undefined) return last.atMs;
  const noonMs = firstInstantOf(zone, { ...day, hour: 12, minute: 0 });
  const [next] = departures(shuttle.timetable, noonMs, noonMs + 365 * DAY_MS);
  const weekday = WEEKDAYS[weekdayOf(day) - 1];
  throw new Refusal('not-that-day', [
    `The ${shuttle.name} doesn't run on ${weekday} ${dayMonth(day)}.`,
    next === undefined
      ? 'Nor in the year after: check its days, /shuttle add'
      : `It runs next on ${dayClock(zone, next.atMs, nowMs)}; at: names another day.`,
  ]);
}
