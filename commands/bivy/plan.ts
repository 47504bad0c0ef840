import { type Options, sub } from '../../src/app/command.ts';
import { forecastBeside } from '../../src/app/forecast/run.ts';
import { pitchOption } from '../../src/app/options.ts';
import { noSuchPitch } from '../../src/app/pitch.ts';
import * as words from '../../src/app/words/forecast.ts';
import { anewLines } from '../../src/app/words/plan.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line } from '../../src/say/reply.ts';
import { pitchAt, type TripState } from '../../src/trip/state.ts';
import { hasRoom, roomWords } from './room.ts';

const options = {
  pitch: { ...pitchOption('After which pitch'), required: true },
  drop: { type: 'boolean', description: 'Yes to mean it no longer' },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'bivy plan': typeof options;
  }
}

export const plan = sub({
  description: 'Mean to sleep after a pitch',
  access: 'post',
  options,
  run(call, { pitch, drop = false }, app) {
    return change(app, call, {
      decide({ state }) {
        if (drop) {
          if (!state.bivyPlan.includes(pitch)) {
            throw new Refusal('already-so', `No night is planned after pitch ${pitch}.`);
          }
          return [{ kind: 'bivy.unplanned', data: { pitch } }];
        }
        mustHaveRoom(state, pitch);
        return [{ kind: 'bivy.planned', data: { pitch } }];
      },
      async answer({ before, after, events }) {
        const forecast = await forecastBeside(app, after, call.atMs);
        const there = forecast?.checkpoints.find((c) => c.pitch === pitch)?.done;
        return {
          lines: words.present<Line>([
            drop
              ? `No night planned after pitch ${pitch} any more.`
              : `Night planned after pitch ${pitch}.`,
            there && !drop ? `There ${words.spanWords(after, there, call.atMs)}.` : undefined,
            forecast && words.headline(after, forecast, call.atMs),
            ...anewLines(before, after, call.atMs),
          ]),
          buttons: [undoButton(events[0]?.seq ?? 0)],
        };
      },
    });
  },
});

function mustHaveRoom(state: TripState, number: number): void {
  const pitch = pitchAt(state, number);
  if (pitch === undefined) throw noSuchPitch(state, number);
  // On top there is ground to lie on, whatever the topo says of the last stance.
  if (number === state.pitches.length || hasRoom(state, pitch)) return;
  const better = state.pitches.filter((p) => hasRoom(state, p)).map((p) => p.number);
  throw new Refusal('no-room', [
    `After pitch ${number} there is ${roomWords(state, pitch)}, by the topo.`,
    better.length === 0
      ? 'Nor anywhere else on it.'
      : `There is room for you after ${better.join(', ')}.`,
    ['If the topo is wrong: ', { code: `/topo edit number:${number} bivy:` }],
  ]);
}
