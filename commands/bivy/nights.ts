import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { early, toldTime } from '../../src/app/when.ts';
import * as words from '../../src/app/words/forecast.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { figuresOf, forecastInput, partySizeOf } from '../../src/forecast/input.ts';
import { canSleep } from '../../src/forecast/nights.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import type { Night } from '../../src/trip/kinds/night.ts';
import { type PitchState, pitchAt, type TripState } from '../../src/trip/state.ts';

/** Means to sleep after a pitch, or no longer. */
export function planNight(app: App, call: Call, pitch: number, drop: boolean): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (drop) {
        if (!state.bivyPlan.includes(pitch)) {
          throw new Refusal(`No night is planned after pitch ${pitch}.`);
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
}

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
  if (pitch === undefined) {
    throw new Refusal(`There is no pitch ${number}; the topo has ${state.pitches.length}.`);
  }
  if (hasRoom(state, pitch)) return;
  const better = state.pitches.filter((p) => hasRoom(state, p)).map((p) => p.number);
  throw new Refusal([
    `After pitch ${number} there is ${roomWords(state, pitch)}, by the topo.`,
    better.length === 0
      ? 'Nor anywhere else on it.'
      : `There is room for you after ${better.join(', ')}.`,
    ['If the topo is wrong: ', { code: `/topo edit number:${number} bivy:` }],
  ]);
}

function hasRoom(state: TripState, { bivy, places }: PitchState): boolean {
  const place = { kind: bivy, ...(places === undefined ? {} : { places }) };
  return canSleep({ bivy: place }, partySizeOf(state));
}

function roomWords(state: TripState, { bivy, places }: PitchState): string {
  return bivy === 'none'
    ? 'no place to sleep'
    : `room for ${places ?? 1}, and you are ${partySizeOf(state)}`;
}

/** The party has settled for the night, here, until a time if told. */
export function settle(
  app: App,
  call: Call,
  input: { at?: string | undefined; until?: string | undefined; pitch?: number | undefined },
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const told = toldTime(state, call, input.at);
      const pitch = input.pitch ?? state.pitches.filter((p) => p.done !== undefined).length;
      mustBeReached(state, pitch);
      const until =
        input.until === undefined ? undefined : toldTime(state, call, input.until, 'future').atMs;
      return [
        {
          kind: 'bivy.settled',
          atMs: told.atMs,
          ...(told.typed === undefined ? {} : { typed: told.typed }),
          data: { pitch, ...(until === undefined ? {} : { untilMs: until }) },
        },
      ];
    },
    async answer({ after, events }) {
      const night = after.nights.at(-1);
      const forecast = await forecastOf(app, after, call.atMs);
      const where = night?.pitch === 0 ? 'on the ground' : `after pitch ${night?.pitch}`;
      const seq = events[0]?.seq ?? 0;
      return {
        lines: words.present([
          `Settled ${where} at ${dayClock(after.zone, night?.sinceMs ?? call.atMs, call.atMs)}${
            night?.untilMs === undefined
              ? ''
              : `, until ${dayClock(after.zone, night.untilMs, call.atMs)}`
          }.`,
          bareWords(after, night),
          forecast && words.headline(after, forecast, call.atMs),
          ['In the morning: ', { code: '/bivy leave' }],
        ]),
        buttons: [undoButton(seq), changeTimeButton(seq)],
      };
    },
  });
}

/** Below where they are they may have gone back to a ledge; above it nobody is yet. */
function mustBeReached(state: TripState, number: number): void {
  const pitch = pitchAt(state, number);
  if (number > 0 && pitch === undefined) {
    throw new Refusal(`There is no pitch ${number}; the topo has ${state.pitches.length}.`);
  }
  if (pitch === undefined || pitch.done !== undefined) return;
  throw new Refusal([
    `Pitch ${number} isn't done yet, so nobody can sleep above it.`,
    ['If it is: ', { code: `/pitch done number:${number}` }],
  ]);
}

/** Where the topo knows no room, somebody ought to look at the topo, or at the night. */
function bareWords(state: TripState, night: Night | undefined): string | undefined {
  const pitch = night === undefined ? undefined : pitchAt(state, night.pitch);
  if (pitch === undefined || hasRoom(state, pitch)) return undefined;
  return `By the topo there is ${roomWords(state, pitch)} there.`;
}

export function leaveBivy(app: App, call: Call, at: string | undefined): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const told = toldTime(state, call, at);
      const night = state.nights.at(-1);
      if (night !== undefined && night.leftMs === undefined && told.atMs < night.sinceMs) {
        throw new Refusal(
          early(state, 'You settled', night.sinceMs, "you can't have left", told.atMs),
        );
      }
      return [{ kind: 'bivy.left', data: {}, ...told }];
    },
    async answer({ after, events }) {
      const forecast = await forecastOf(app, after, call.atMs);
      const seq = events[0]?.seq ?? 0;
      const night = after.nights.at(-1);
      const left = night?.leftMs ?? call.atMs;
      return {
        lines: words.present([
          `${night?.pitch === 0 ? 'Up' : 'Climbing on'} at ${dayClock(after.zone, left, call.atMs)}.`,
          forecast && words.headline(after, forecast, call.atMs),
        ]),
        buttons: [undoButton(seq), changeTimeButton(seq)],
      };
    },
  });
}
