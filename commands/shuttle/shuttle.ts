import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { bounds, boundWords, present } from '../../src/app/words/forecast.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { shuttleWords } from '../../src/app/words/topout.ts';
import type { Forecast } from '../../src/forecast/model.ts';
import { change } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import { departures } from '../../src/timetable/departures.ts';
import { parseTimetable } from '../../src/timetable/typed.ts';
import type { Shuttle } from '../../src/trip/kinds/shuttle.ts';
import type { TripState } from '../../src/trip/state.ts';

const DAY_MS = 86_400_000;
const YEAR_MS = 365 * DAY_MS;
/** From this chance on nobody asks what else there is. */
const SURE = 0.95;
/** A wait at the trailhead that makes one ask for the walk. Engineering choice. */
const LONG_WAIT_MS = 3 * 3_600_000;

/** A timetable as people say it; what was understood is said back. */
export function addShuttle(app: App, call: Call, text: string, name: string): Promise<Reply> {
  let readAs: string[] = [];
  return change(app, call, {
    decide({ state }) {
      const read = parseTimetable(text, state.zone);
      if (!read.ok) throw new Refusal([read.message]);
      readAs = read.readAs;
      return [{ kind: 'shuttle.set', data: { name, timetable: read.timetable } }];
    },
    answer: async ({ after, events }) => ({
      lines: [
        `The ${name}, as I understood it:`,
        ...readAs,
        ...(await nextLines(app, after, call.atMs)),
      ],
      buttons: [undoButton(events[0]?.seq ?? 0)],
    }),
  });
}

/** Keeps a timetable that was picked out of a feed. */
export function keepShuttle(app: App, call: Call, shuttle: Shuttle): Promise<Reply> {
  return change(app, call, {
    decide: () => [{ kind: 'shuttle.set', data: shuttle }],
    answer: async ({ after, events }) => ({
      lines: [
        `The ${shuttle.name}: ${shuttle.timetable.label}.`,
        ...(await nextLines(app, after, call.atMs)),
      ],
      buttons: [undoButton(events[0]?.seq ?? 0)],
    }),
  });
}

/** The next departures, the one the party will make, and the walk if it misses the last. */
export async function nextShuttle(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  if (state.shuttle === undefined) {
    throw new Refusal([
      'There is no timetable yet.',
      ['Like ', { code: '/shuttle add times:"first 06:20, last 18:40, every 20 min"' }],
    ]);
  }
  return { lines: await nextLines(app, state, call.atMs) };
}

async function nextLines(app: App, state: TripState, nowMs: number): Promise<Line[]> {
  const { shuttle } = state;
  if (shuttle === undefined) return [];
  const coming = departures(shuttle.timetable, nowMs, nowMs + 10 * DAY_MS).slice(0, 3);
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
  if (state.phase === 'down' || state.phase === 'closed') return [];
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
  { settings: s }: TripState,
  { shuttle, boarding, trailhead }: Pick<Forecast, 'shuttle' | 'boarding' | 'trailhead'>,
): string | undefined {
  if (shuttle === undefined || boarding === undefined) return undefined;
  const waits = boarding.q50 - trailhead.q50 > LONG_WAIT_MS;
  if (shuttle.chanceLast >= SURE && !waits) return undefined;
  return s.walkKm === undefined
    ? "If the last one of a day is gone you wait for the next day's. Is there a walk? /trip edit walk_km:"
    : `If the last one of a day is gone: ${s.walkKm} km on foot, unless the next day's first is sooner.`;
}
