import { daylight } from '../../forecast/daylight/daylight.ts';
import { departuresOfDay } from '../../forecast/shuttle/departures.ts';
import { dayClock } from '../../time/format.ts';
import { parseWhen } from '../../time/parse.ts';
import { type LocalDay, localDay } from '../../time/zone.ts';
import type { Cutoff } from '../../trip/kinds/cutoff.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { change } from '../change.ts';
import type { Call } from '../command.ts';
import { Refusal } from '../refusal.ts';
import type { Reply } from '../reply.ts';
import { look } from '../trips.ts';
import { toldTime } from '../when.ts';
import * as words from '../words/forecast.ts';
import { undoButton } from '../words/post.ts';
import { forecastOf } from './run.ts';

export interface CutoffInput {
  kind: Cutoff['kind'];
  /** A time; for dark and shuttle only its day counts. */
  at?: string | undefined;
  label?: string | undefined;
  target?: string | undefined;
  pitch?: number | undefined;
}

const LABEL: Record<Cutoff['kind'], string> = {
  shuttle: 'Last',
  dark: 'Dark',
  permit: 'Permit',
  weather: 'Weather',
  own: 'Own time',
};

/** A time that binds. Dark and the last shuttle are worked out for the day; the others are told. */
export function addCutoff(app: App, call: Call, input: CutoffInput): Promise<Reply> {
  let made: Cutoff | undefined;
  return change(app, call, {
    async decide({ state }) {
      made = await resolve(app, call, state, input);
      return [{ kind: 'cutoff.added', data: made }];
    },
    async answer({ after, events }) {
      const forecast = await forecastOf(app, after, call.atMs);
      const at = dayClock(after.zone, made?.atMs ?? 0, call.atMs);
      return {
        lines: words.present([
          `Cutoff added: ${made?.label} ${at}, ${targetWords(made?.target ?? 'topout')} by then.`,
          forecast && words.headline(after, forecast, call.atMs),
        ]),
        buttons: [undoButton(events[0]?.seq ?? 0)],
      };
    },
  });
}

async function resolve(
  app: App,
  call: Call,
  state: TripState,
  input: CutoffInput,
): Promise<Cutoff> {
  const ids = state.cutoffs.map((c) => Number(c.id));
  const id = String(Math.max(0, ...ids.filter(Number.isFinite)) + 1);
  const target = targetOf(input);
  const base = { id, kind: input.kind, target };
  if (input.kind === 'dark' || input.kind === 'shuttle') {
    const day = await dayOf(app, call, state, input);
    const atMs = input.kind === 'dark' ? dusk(state, day) : lastShuttle(state, day);
    const name = input.kind === 'dark' ? 'Dark' : `Last ${state.shuttle?.name}`;
    return { ...base, label: input.label ?? name, atMs };
  }
  if (input.at === undefined) {
    throw new Refusal(['When? A time is needed: at:"sat 18:40", at:+6h, or 2031-06-13 18:40.']);
  }
  const told = toldTime(state, call, input.at, 'future');
  return { ...base, label: input.label ?? LABEL[input.kind], atMs: told.atMs };
}

function targetOf(input: CutoffInput): Cutoff['target'] {
  if (input.pitch !== undefined) return { pitch: input.pitch };
  if (input.target !== undefined) return input.target as 'topout' | 'down' | 'trailhead';
  return input.kind === 'shuttle' ? 'trailhead' : 'topout';
}

/** The day named; else the day the forecast has the party on top (for the shuttle: at the trailhead). */
async function dayOf(
  app: App,
  call: Call,
  state: TripState,
  input: CutoffInput,
): Promise<LocalDay> {
  if (input.at !== undefined) {
    const spoken = /^\s*(today|tomorrow)\s*$/i.test(input.at) || !/\d:\d|\d[ap]m/i.test(input.at);
    const text = spoken ? `${input.at} 23:59` : input.at;
    const when = parseWhen(text, { zone: state.zone, nowMs: call.atMs, sense: 'future' });
    if (!when.ok) throw new Refusal([when.message]);
    return localDay(state.zone, when.atMs);
  }
  const forecast = await forecastOf(app, state, call.atMs);
  if (forecast === undefined) {
    throw new Refusal(['On which day? Without a topo it can’t be forecast: at:tomorrow, at:sat.']);
  }
  const ms = input.kind === 'dark' ? forecast.topout.q50 : forecast.trailhead.q50;
  return localDay(state.zone, Number.isFinite(ms) ? ms : call.atMs);
}

function dusk(state: TripState, day: LocalDay): number {
  const { lat, lon } = state.place;
  if (lat === undefined || lon === undefined) {
    throw new Refusal([
      'Dusk needs the place of the wall.',
      ['Like ', { code: '/trip edit lat:62.31 lon:6.84' }],
    ]);
  }
  const light = daylight({ lat, lon }, state.zone, day);
  if (light.duskMs !== undefined) return light.duskMs;
  throw new Refusal(
    light.darkAllDay
      ? 'It is dark all day then; a dark cutoff would mean nothing.'
      : 'It does not get dark there then; no cutoff is needed.',
  );
}

function lastShuttle(state: TripState, day: LocalDay): number {
  if (state.shuttle === undefined) {
    throw new Refusal([
      'There is no timetable yet.',
      '/shuttle add takes one as you would say it.',
    ]);
  }
  const last = departuresOfDay(state.shuttle.timetable, day).at(-1);
  if (last !== undefined) return last.atMs;
  throw new Refusal(`The ${state.shuttle.name} doesn't run that day.`);
}

function targetWords(target: Cutoff['target']): string {
  if (typeof target === 'object') return `pitch ${target.pitch} done`;
  return { topout: 'on top', down: 'everyone down', trailhead: 'at the trailhead' }[target];
}

export function removeCutoff(app: App, call: Call, which: string): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const want = which.trim().toLowerCase();
      const found = state.cutoffs.find((c) => c.id === want || c.label.toLowerCase() === want);
      if (found === undefined) {
        const names = state.cutoffs.map((c) => `${c.id} ${c.label}`).join(', ');
        throw new Refusal([
          `There is no cutoff ${which}.`,
          names === '' ? 'None is set: /cutoff add.' : `There is: ${names}.`,
        ]);
      }
      return [{ kind: 'cutoff.removed', data: { id: found.id } }];
    },
    answer: ({ after, events }) => ({
      lines: [
        `Cutoff removed; ${after.cutoffs.length === 0 ? 'none is' : `${after.cutoffs.length} are`} left.`,
      ],
      buttons: [undoButton(events[0]?.seq ?? 0)],
    }),
  });
}

/** Every cutoff with its chance, the one that binds first. */
export async function showCutoffs(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  const forecast = await forecastOf(app, state, call.atMs);
  const all = forecast === undefined ? [] : words.bounds(state, forecast);
  if (all.length === 0 && state.cutoffs.length === 0) {
    return {
      lines: ['No cutoff is set.', '/cutoff add kind:dark, or /shuttle add for the last one home.'],
    };
  }
  const target = (id: string | undefined) =>
    state.cutoffs.find((c) => c.id === id)?.target ?? 'trailhead';
  return {
    lines: [
      ...all.map((b, i) => {
        const by = `, ${targetWords(target(b.id))} by then`;
        const binds = i === 0 && all.length > 1;
        return `${b.id === undefined ? '' : `${b.id}. `}${words.boundWords(state, b, binds, call.atMs, by)}`;
      }),
      words.CAUTION,
    ],
  };
}
