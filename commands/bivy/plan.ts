import { type Options, sub } from '../../src/app/command.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { pitchOption } from '../../src/app/options.ts';
import { noSuchPitch } from '../../src/app/pitch.ts';
import * as words from '../../src/app/words/forecast.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { figuresOf, forecastInput } from '../../src/forecast/input.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';
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
  access: 'act',
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
      async answer({ after, events }) {
        const forecast = await forecastOf(app, after, call.atMs);
        const there = forecast?.checkpoints.find((c) => c.pitch === pitch)?.done;
        return {
          lines: words.present([
            drop
              ? `No night planned after pitch ${pitch} any more.`
              : `Night planned after pitch ${pitch}.`,
            there && !drop ? `There ${words.spanWords(after, there, call.atMs)}.` : undefined,
            there && !drop ? earlyWords(after, there.q50, call.atMs) : undefined,
            forecast && words.headline(after, forecast, call.atMs),
          ]),
          buttons: [undoButton(events[0]?.seq ?? 0)],
        };
      },
    });
  },
});

/** A ledge reached early in the day is passed: the rule of the nights, said where it bites. */
function earlyWords(state: TripState, thereMs: number, nowMs: number): string | undefined {
  const { stopEarlyMaxMin } = figuresOf(state);
  const day = forecastInput(state, nowMs).days.findLast((d) => d.startMs <= thereMs);
  const stopsMs = (day?.stopMs ?? 0) - stopEarlyMaxMin * 60_000;
  if (!(thereMs < stopsMs)) return undefined;
  const at = dayClock(state.zone, stopsMs, nowMs);
  return `Reached before ${at} you are taken to climb on. /trip pace figure:stopEarlyMaxMin`;
}

function mustHaveRoom(state: TripState, number: number): void {
  const pitch = pitchAt(state, number);
  if (pitch === undefined) throw noSuchPitch(state, number);
  if (hasRoom(state, pitch)) return;
  const better = state.pitches.filter((p) => hasRoom(state, p)).map((p) => p.number);
  throw new Refusal('no-room', [
    `After pitch ${number} there is ${roomWords(state, pitch)}, by the topo.`,
    better.length === 0
      ? 'Nor anywhere else on it.'
      : `There is room for you after ${better.join(', ')}.`,
    ['If the topo is wrong: ', { code: `/topo edit number:${number} bivy:` }],
  ]);
}
