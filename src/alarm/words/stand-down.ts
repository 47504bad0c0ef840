import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Message } from '../../say/message.ts';
import type { Button, Line } from '../../say/reply.ts';
import type { TripState } from '../../trip/state.ts';
import { STAND_DOWN_MS, standDownOf } from '../stand-down.ts';
import { FIELD } from '../who.ts';
import { lastHeard, stoodDownButton } from './common.ts';
import { type Home, lastHeardIn, numberIn, when } from './home.ts';

/** What is to be done about a call-out that is answered; who called nobody is asked to think of it. */
export function standDownLines(state: TripState, nowMs: number, w: Words = ENGLISH): Line[] {
  const stands = standDownOf(state);
  if (stands === undefined) {
    return state.watch.called.length > 0 ? [] : [w.say('standdown.anyone')];
  }
  const h = { w, state, nowMs };
  const { call, sinceMs } = stands;
  const who = { by: call.by.name, called: when(h, call.atMs) };
  const untilMs = sinceMs + STAND_DOWN_MS;
  return [
    nowMs < untilMs
      ? w.say('standdown.tell', { ...who, until: when(h, untilMs) })
      : w.say('standdown.tellNow', who),
  ];
}

/** Says that it was done; none when nothing is to be. */
export function standDownButtons(state: TripState, w: Words = ENGLISH): Button[] {
  const stands = standDownOf(state);
  return stands === undefined ? [] : [stoodDownButton(stands.call.seq, w)];
}

/** Asks whether the rescue service was told; undefined when it was. */
export function standDownMessage(h: Home, to: string): Message | undefined {
  const { w, state, nowMs } = h;
  const stands = standDownOf(state);
  if (stands === undefined) return undefined;
  return {
    subject: w.text('standdown.subject', { trip: state.name }),
    buttons: [stoodDownButton(stands.call.seq, w)],
    now: standDownLines(state, nowMs, w)[0],
    lines: [
      w.say('standdown.first'),
      state.downAtMs !== undefined
        ? w.say('standdown.down', { when: when(h, state.downAtMs) })
        : to === FIELD
          ? lastHeard(state, nowMs)
          : lastHeardIn(h),
      ...standDownLines(state, nowMs, w),
      w.say('standdown.other', { by: stands.call.by.name, number: numberIn(w, state) }),
    ],
  };
}

/** The rescue service knows that it is needed no more. */
export function stoodDownMessage(h: Home, seq: number): Message {
  const { w, state } = h;
  const done = state.watch.stoodDown.find((s) => s.seq === seq);
  return {
    subject: w.text('stooddown.subject', { trip: state.name }),
    lines:
      done === undefined
        ? []
        : [w.say('stooddown.first', { by: done.by.name, when: when(h, done.atMs) })],
  };
}
