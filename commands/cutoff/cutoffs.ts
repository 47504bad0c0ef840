import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import * as words from '../../src/app/words/forecast.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import { outcomeOf, reachedAt } from '../../src/trip/cutoffs.ts';
import type { Cutoff } from '../../src/trip/kinds/cutoff.ts';
import type { TripState } from '../../src/trip/state.ts';
import { type CutoffInput, timeOf } from './cutoff-time.ts';

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
  mustBeAhead(state, target, call.atMs);
  const { label, atMs } = await timeOf(app, call, state, input);
  if (atMs <= call.atMs) {
    throw new Refusal([
      `${label} ${dayClock(state.zone, atMs, call.atMs)} has passed already.`,
      'Name another day: at:tomorrow, at:sat; or another time.',
    ]);
  }
  return { id, kind: input.kind, target, label: input.label ?? label, atMs };
}

/** What has happened already can't be bound any more; what isn't on the route never will be. */
function mustBeAhead(state: TripState, target: Cutoff['target'], nowMs: number): void {
  if (typeof target === 'object' && target.pitch > state.pitches.length) {
    throw new Refusal(`There is no pitch ${target.pitch}; the topo has ${state.pitches.length}.`);
  }
  const reachedMs = reachedAt(state, target);
  if (reachedMs === undefined) return;
  const what =
    typeof target === 'object'
      ? `Pitch ${target.pitch} was done`
      : target === 'topout'
        ? 'You were on top'
        : 'Everyone was down';
  throw new Refusal([
    `${what} at ${dayClock(state.zone, reachedMs, nowMs)}; nothing is left to bind.`,
    'Another target: target:trailhead, or pitch: further up.',
  ]);
}

function targetOf(input: CutoffInput): Cutoff['target'] {
  if (input.pitch !== undefined) return { pitch: input.pitch };
  if (input.target !== undefined) return input.target as 'topout' | 'down' | 'trailhead';
  return input.kind === 'shuttle' ? 'trailhead' : 'topout';
}

function targetWords(target: Cutoff['target']): string {
  if (typeof target === 'object') return `pitch ${target.pitch} done`;
  return { topout: 'on top', down: 'everyone down', trailhead: 'at the trailhead' }[target];
}

export function removeCutoff(app: App, call: Call, which: string): Promise<Reply> {
  let found: Cutoff | undefined;
  return change(app, call, {
    decide({ state }) {
      const want = which.trim().toLowerCase();
      found = state.cutoffs.find((c) => c.id === want || c.label.toLowerCase() === want);
      if (found === undefined) {
        const names = state.cutoffs.map((c) => `${c.id} ${c.label}`).join(', ');
        throw new Refusal([
          `There is no cutoff ${which}.`,
          names === '' ? 'None is set: /cutoff add.' : `There is: ${names}.`,
        ]);
      }
      return [{ kind: 'cutoff.removed', data: { id: found.id } }];
    },
    async answer({ after, events }) {
      const forecast = await forecastOf(app, after, call.atMs);
      const at = dayClock(after.zone, found?.atMs ?? 0, call.atMs);
      return {
        lines: words.present([
          `Cutoff removed: ${found?.label} ${at}. ${after.cutoffs.length || 'None'} left.`,
          forecast && words.headline(after, forecast, call.atMs),
        ]),
        buttons: [undoButton(events[0]?.seq ?? 0)],
      };
    },
  });
}

/** Every cutoff with its chance, the one that binds first; then what has been decided. */
export async function showCutoffs(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  const forecast = await forecastOf(app, state, call.atMs);
  const over = state.phase === 'down' || state.phase === 'closed';
  const open = forecast === undefined || over ? [] : words.bounds(state, forecast);
  const decided = state.cutoffs.flatMap((c) => decidedWords(state, c, call.atMs));
  if (open.length + decided.length === 0) {
    return {
      lines:
        state.cutoffs.length === 0
          ? ['No cutoff is set.', '/cutoff add kind:dark, or /shuttle add for the last one home.']
          : [
              `${state.cutoffs.length} set: ${state.cutoffs.map((c) => c.label).join(', ')}.`,
              'Their odds need a topo: /topo load takes a CSV file.',
            ],
    };
  }
  const target = (id: string | undefined) =>
    state.cutoffs.find((c) => c.id === id)?.target ?? 'trailhead';
  return {
    lines: [
      ...open.map((b) => {
        const by = `, ${targetWords(target(b.id))} by then`;
        return `${b.id === undefined ? '' : `${b.id}. `}${words.boundWords(state, b, b.binds, call.atMs, by)}`;
      }),
      ...decided,
      ...(open.length === 0 ? [] : [words.CAUTION]),
    ],
  };
}

/** `4. Supper Thu 18:00, pitch 8 done by then: missed, Thu 19:00.`; nothing while it is open. */
function decidedWords(state: TripState, cutoff: Cutoff, nowMs: number): string[] {
  const outcome = outcomeOf(state, cutoff, nowMs);
  if (outcome.is === 'open') return [];
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const when = outcome.reachedMs === undefined ? '' : `, ${at(outcome.reachedMs)}`;
  return [
    `${cutoff.id}. ${cutoff.label} ${at(cutoff.atMs)}, ${targetWords(cutoff.target)} by then: ${outcome.is}${when}.`,
  ];
}
