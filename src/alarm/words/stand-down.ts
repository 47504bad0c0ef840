import type { Message } from '../../say/message.ts';
import type { Button, Line } from '../../say/reply.ts';
import type { TripState } from '../../trip/state.ts';
import { STAND_DOWN_MS, standDownOf } from '../stand-down.ts';
import { at, emergency, lastHeard, stoodDownButton } from './common.ts';

/** What is to be done about a call-out that is answered; who called nobody is asked to think of it. */
export function standDownLines(state: TripState, nowMs: number): Line[] {
  const stands = standDownOf(state);
  if (stands === undefined) {
    return state.watch.called.length > 0 ? [] : ['If you called anyone out, tell them now.'];
  }
  const { call, sinceMs } = stands;
  return [
    [
      `${call.by.name} called the rescue service, `,
      at(state, call.atMs, nowMs),
      `. ${call.by.name}: tell them by `,
      at(state, sinceMs + STAND_DOWN_MS, nowMs),
      ' what was heard, then say so here. Whether help is still needed, they decide.',
    ],
  ];
}

/** Says that it was done; none when nothing is to be. */
export function standDownButtons(state: TripState): Button[] {
  const stands = standDownOf(state);
  return stands === undefined ? [] : [stoodDownButton(stands.call.seq)];
}

/** Asks whether the rescue service was told; undefined when it was. */
export function standDownMessage(state: TripState, nowMs: number): Message | undefined {
  const stands = standDownOf(state);
  if (stands === undefined) return undefined;
  return {
    subject: `${state.name}: does the rescue service know?`,
    buttons: [stoodDownButton(stands.call.seq)],
    lines: [
      'Nobody has said yet that the rescue service knows.',
      ...(state.downAtMs === undefined
        ? [lastHeard(state, nowMs)]
        : [['Everyone is down, ', at(state, state.downAtMs, nowMs), '.'] as Line]),
      ...standDownLines(state, nowMs),
      `If ${stands.call.by.name} can’t do it, whoever reads this calls ${emergency(state)}.`,
    ],
  };
}

/** The rescue service knows that it is needed no more. */
export function stoodDownMessage(state: TripState, seq: number, nowMs: number): Message {
  const done = state.watch.stoodDown.find((s) => s.seq === seq);
  return {
    subject: `${state.name}: the rescue service knows`,
    lines: [
      [
        `${done?.by.name ?? 'Somebody'} has told the rescue service`,
        ...(done === undefined ? [] : [', ', at(state, done.atMs, nowMs)]),
        '. Nothing more to do about the call-out.',
      ],
    ],
  };
}
