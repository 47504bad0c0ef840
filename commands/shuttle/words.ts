import type { App } from '../../src/app/app.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { bounds, boundWords, present } from '../../src/app/words/forecast.ts';
import { shuttleWords } from '../../src/app/words/shuttle.ts';
import type { Forecast } from '../../src/forecast/model.ts';
import type { Line } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import { departures } from '../../src/timetable/departures.ts';
import type { Shuttle } from '../../src/trip/kinds/shuttle.ts';
import { isOver } from '../../src/trip/mode.ts';
import type { TripState } from '../../src/trip/state.ts';
import { distanceText } from '../../src/trip/units.ts';

/** So many are shown. */
const NEXT = 3;
const DAY_MS = 86_400_000;
const YEAR_MS = 365 * DAY_MS;
/** From this chance on nobody asks what else there is. */
const SURE = 0.95;
/** A wait at the trailhead that makes one ask for the walk. Engineering choice. */
const LONG_WAIT_MS = 3 * 3_600_000;

/** The next departures, the one the party will make, and the walk if it misses the last. */
export async function departureLines(app: App, state: TripState, nowMs: number): Promise<Line[]> {
  const { shuttle } = state;
  if (shuttle === undefined) return [];
  const within = (days: number) =>
    departures(shuttle.timetable, nowMs, nowMs + days * DAY_MS).slice(0, NEXT);
  const soon = within(1);
  const coming = soon.length === NEXT ? soon : within(10);
  if (coming.length === 0) return [idleWords(shuttle, state.zone, nowMs)];
  const shown = coming.map(
    (d) => `${dayClock(state.zone, d.atMs, nowMs)}${d.last ? ' (last)' : ''}`,
  );
  return [`Next ${shuttle.name}: ${shown.join(', ')}.`, ...(await oddsLines(app, state, nowMs))];
}

function idleWords({ name, timetable }: Shuttle, zone: string, nowMs: number): string {
  const [next] = departures(timetable, nowMs, nowMs + YEAR_MS);
  const when =
    next === undefined
      ? 'nor within a year: check its days, /shuttle add'
      : `the first is ${dayClock(zone, next.atMs, nowMs)}`;
  return `The ${name} doesn't run in the next ten days; ${when}.`;
}

/** The one they will make, the odds for the last, and the walk if it is gone. */
async function oddsLines(app: App, state: TripState, nowMs: number): Promise<string[]> {
  if (isOver(state)) return [];
  const forecast = await forecastOf(app, state, nowMs);
  if (forecast === undefined) return ['Which one you will make needs a topo: /topo load.'];
  const all = bounds(state, forecast);
  const shuttles = all.filter((b) => b.id === undefined || isShuttle(state, b.id));
  return present([
    shuttleWords(state, forecast, nowMs),
    ...shuttles.map((b) => boundWords(state, b, b.binds, nowMs)),
    walkWords(state, forecast),
  ]);
}

function isShuttle(state: TripState, id: string): boolean {
  return state.cutoffs.some((c) => c.id === id && c.kind === 'shuttle');
}

function walkWords(
  { settings: s, units }: TripState,
  { shuttle, boarding, trailhead }: Pick<Forecast, 'shuttle' | 'boarding' | 'trailhead'>,
): string | undefined {
  if (shuttle === undefined || boarding === undefined) return undefined;
  const waits = boarding.q50 - trailhead.q50 > LONG_WAIT_MS;
  if (shuttle.chanceLast >= SURE && !waits) return undefined;
  return s.walkKm === undefined
    ? "If the last one of a day is gone you wait for the next day's. Is there a walk? /trip edit walk:"
    : `If the last one of a day is gone: ${distanceText(s.walkKm, units)} on foot, unless the next day's first is sooner.`;
}
