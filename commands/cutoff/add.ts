import type { App } from '../../src/app/app.ts';
import { type Args, type Call, type Options, sub } from '../../src/app/command.ts';
import { forecastBeside } from '../../src/app/forecast/run.ts';
import { pitchOption, timeOption } from '../../src/app/options.ts';
import { noSuchPitch } from '../../src/app/pitch.ts';
import * as words from '../../src/app/words/forecast.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';
import { reachedAt } from '../../src/trip/cutoffs.ts';
import type { Cutoff } from '../../src/trip/kinds/cutoff.ts';
import type { TripState } from '../../src/trip/state.ts';
import { timeOf } from './time.ts';
import { targetWords } from './words.ts';

const options = {
  kind: {
    type: 'string',
    description: 'What binds',
    required: true,
    choices: [
      { name: 'dark: civil dusk of the day', value: 'dark' },
      { name: 'the last shuttle of the day', value: 'shuttle' },
      { name: 'a permit', value: 'permit' },
      { name: 'the weather window', value: 'weather' },
      { name: 'a time of our own', value: 'own' },
    ],
  },
  at: timeOption('When: 18:40, sat 18:40, +6h. For dark and shuttle the day: today, sat'),
  target: {
    type: 'string',
    description: 'What must have happened by then: on top unless named',
    choices: [
      { name: 'on top', value: 'topout' },
      { name: 'at the trailhead', value: 'trailhead' },
      { name: 'everyone down', value: 'down' },
    ],
  },
  pitch: pitchOption('Or: this pitch done'),
  label: { type: 'string', description: 'What to call it', maxLength: LIMITS.nameLength },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'cutoff add': typeof options;
  }
}

export const add = sub({
  description: 'Add a time that binds',
  access: 'post',
  options,
  run(call, args, app) {
    let made: Cutoff | undefined;
    return change(app, call, {
      async decide({ state }) {
        made = await resolve(app, call, state, args);
        return [{ kind: 'cutoff.added', data: made }];
      },
      async answer({ after, events }) {
        const forecast = await forecastBeside(app, after, call.atMs);
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
  },
});

async function resolve(
  app: App,
  call: Call,
  state: TripState,
  args: Args<typeof options>,
): Promise<Cutoff> {
  const ids = state.cutoffs.map((c) => Number(c.id));
  const id = String(Math.max(0, ...ids.filter(Number.isFinite)) + 1);
  const target = targetOf(args);
  mustBeAhead(state, target, call.atMs);
  const { label, atMs } = await timeOf(app, call, state, args);
  if (atMs <= call.atMs) {
    throw new Refusal('time-past', [
      `${label} ${dayClock(state.zone, atMs, call.atMs)} has passed already.`,
      'Name another day: at:tomorrow, at:sat; or another time.',
    ]);
  }
  return { id, kind: args.kind, target, label: args.label ?? label, atMs };
}

/** What has happened already can't be bound any more; what isn't on the route never will be. */
function mustBeAhead(state: TripState, target: Cutoff['target'], nowMs: number): void {
  if (typeof target === 'object' && target.pitch > state.pitches.length)
    throw noSuchPitch(state, target.pitch);
  const reachedMs = reachedAt(state, target);
  if (reachedMs === undefined) return;
  const what =
    typeof target === 'object'
      ? `Pitch ${target.pitch} was done`
      : target === 'topout'
        ? 'You were on top'
        : 'Everyone was down';
  throw new Refusal('time-past', [
    `${what} at ${dayClock(state.zone, reachedMs, nowMs)}; nothing is left to bind.`,
    'Another target: target:trailhead, or pitch: further up.',
  ]);
}

function targetOf(args: Args<typeof options>): Cutoff['target'] {
  if (args.pitch !== undefined) return { pitch: args.pitch };
  if (args.target !== undefined) return args.target;
  return args.kind === 'shuttle' ? 'trailhead' : 'topout';
}
