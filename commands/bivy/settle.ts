import { nextNight, settledFor, unmet, watched } from '../../src/alarm/expectations.ts';
import { planSeq } from '../../src/alarm/weaker.ts';
import { at } from '../../src/alarm/words/common.ts';
import { type Options, sub } from '../../src/app/command.ts';
import { forecastBeside } from '../../src/app/forecast/run.ts';
import { pitchOption, timeOption, toldAtOption } from '../../src/app/options.ts';
import { noSuchPitch } from '../../src/app/pitch.ts';
import { hereOption, mustStillBeAt } from '../../src/app/still-there.ts';
import { toldTime } from '../../src/app/when.ts';
import * as words from '../../src/app/words/forecast.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button, Line } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import type { Night } from '../../src/trip/kinds/night.ts';
import { pitchAt, type TripState } from '../../src/trip/state.ts';
import { hasRoom, roomWords } from './room.ts';

const options = {
  at: toldAtOption,
  until: timeOption('Until when you mean to rest: 05:30'),
  pitch: pitchOption('After which pitch; the last one done when left out'),
  here: hereOption,
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'bivy settle': typeof options;
  }
}

/** The party has settled for the night, here, until a time if told. */
export const settle = sub({
  description: 'Settled for the night',
  access: 'post',
  options,
  run(call, args, app) {
    return change(app, call, {
      decide({ state }) {
        mustStillBeAt(state, args.here);
        const told = toldTime(state, call, args.at);
        const pitch = args.pitch ?? state.pitches.filter((p) => p.done !== undefined).length;
        mustBeReached(state, pitch);
        const until =
          args.until === undefined ? undefined : toldTime(state, call, args.until, 'future').atMs;
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
        const forecast = await forecastBeside(app, after, call.atMs);
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
            checkinWords(after, call.atMs),
            againWords(after, call.atMs),
            calloutWords(after, call.atMs),
            forecast && words.headline(after, forecast, call.atMs),
            ['In the morning: ', { code: '/bivy leave' }],
          ]),
          buttons: [...calloutButton(after), undoButton(seq), changeTimeButton(seq)],
        };
      },
    });
  },
});

/** That settling was tonight's check-in, where it is. */
function checkinWords(state: TripState, nowMs: number): Line | undefined {
  const { nightly } = state.watch;
  const night = state.nights.at(-1);
  if (nightly === undefined || night === undefined || !watched(state)) return undefined;
  const dueMs = nextNight(state.zone, nightly.clock, night.sinceMs - 1);
  return settledFor(state, dueMs)
    ? ['This is the check-in of ', at(state, dueMs, nowMs), ' as well: no other word is due then.']
    : undefined;
}

/** A night in place of an agreed time: when the next word is due, and that new times are wanted. */
function againWords(state: TripState, nowMs: number): Line | undefined {
  const next = unmet(state).find((e) => e.kind === 'again');
  if (next === undefined || !watched(state) || agreedNone(state)) return undefined;
  return [
    'The agreed times have passed: agree new ones (',
    { code: '/checkin plan' },
    '), or a word is due by ',
    at(state, next.dueMs, nowMs),
    '.',
  ];
}

/** The call-out time that would come in this night; none where it is agreed for later. */
function calloutInNight(state: TripState): number | undefined {
  const night = state.nights.at(-1);
  if (night === undefined || !watched(state)) return undefined;
  const endMs = night.untilMs ?? night.sinceMs + 12 * 3_600_000;
  return unmet(state).find((e) => e.kind === 'callout' && e.dueMs <= endMs)?.dueMs;
}

function calloutWords(state: TripState, nowMs: number): Line | undefined {
  const atMs = calloutInNight(state);
  if (atMs === undefined) return undefined;
  return [
    'The call-out time ',
    at(state, atMs, nowMs),
    ' stands: move it before you sleep, or it comes in this night.',
  ];
}

function calloutButton(state: TripState): Button[] {
  if (calloutInNight(state) === undefined) return [];
  return [
    {
      label: 'Move the call-out time',
      tone: 'main',
      press: { path: 'checkin plan', options: { plan: planSeq(state) } },
      ask: {
        title: 'A new time',
        fields: [{ name: 'callout', label: 'Call-out time', placeholder: 'tomorrow 12:00' }],
      },
    },
  ];
}

function agreedNone({ watch }: TripState): boolean {
  return Object.keys(watch.plan).length === 0;
}

/** Below where they are they may have gone back to a ledge; above it nobody is yet. */
function mustBeReached(state: TripState, number: number): void {
  const pitch = pitchAt(state, number);
  if (number > 0 && pitch === undefined) throw noSuchPitch(state, number);
  if (pitch === undefined || pitch.done !== undefined) return;
  throw new Refusal('previous-not-done', [
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
