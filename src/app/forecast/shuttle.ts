import { departures } from '../../forecast/shuttle/departures.ts';
import { parseTimetable } from '../../forecast/shuttle/typed.ts';
import { dayClock } from '../../time/format.ts';
import type { Shuttle } from '../../trip/kinds/shuttle.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { change } from '../change.ts';
import type { Call } from '../command.ts';
import { Refusal } from '../refusal.ts';
import type { Line, Reply } from '../reply.ts';
import { look } from '../trips.ts';
import { bounds, boundWords, shuttleWords } from '../words/forecast.ts';
import { oddsWords } from '../words/odds.ts';
import { undoButton } from '../words/post.ts';
import { forecastOf } from './run.ts';

const DAY_MS = 86_400_000;

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
  if (coming.length === 0) return [`The ${shuttle.name} doesn't run in the next ten days.`];
  const shown = coming.map(
    (d) => `${dayClock(state.zone, d.atMs, nowMs)}${d.last ? ' (last)' : ''}`,
  );
  const forecast = await forecastOf(app, state, nowMs);
  const likely = forecast && shuttleWords(state, forecast, nowMs);
  const last = forecast && bounds(state, forecast).find((b) => b.label.startsWith('Last '));
  return [
    `Next ${shuttle.name}: ${shown.join(', ')}.`,
    ...(likely === undefined ? [] : [likely]),
    ...(last === undefined ? [] : [boundWords(state, last, false, nowMs)]),
    ...walkLines(state, forecast?.shuttle?.chanceWalk),
  ];
}

function walkLines({ settings: s }: TripState, chance: number | undefined): string[] {
  if (chance === undefined || chance < 0.01) return [];
  if (s.walkKm === undefined) return ['How long is the walk if it is gone? /trip edit walk_km:'];
  return [`If the last one is gone: ${s.walkKm} km on foot, ${oddsWords(chance)}.`];
}
