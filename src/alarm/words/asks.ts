import type { Message } from '../../say/message.ts';
import type { Button } from '../../say/reply.ts';
import { duration } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import type { Expectation } from '../expectations.ts';
import { planSeq } from '../weaker.ts';
import { accountOf, contacts, field, names } from '../who.ts';
import { at, expected } from './common.ts';

/** A change that would weaken the watch, to whoever may agree to it while an alarm stands. */
export function askedMessage(state: TripState, seq: number): Message | undefined {
  const asked = state.watch.asked.find((a) => a.seq === seq);
  if (asked === undefined || state.watch.agreed.some((a) => a.asked === seq)) return undefined;
  return {
    subject: `${state.name}: do you agree to a change?`,
    buttons: [
      { label: 'I agree', press: { path: 'overdue agree', options: { entry: asked.seq } } },
    ],
    lines: [
      `${asked.by.name} asks for a change while an alarm stands:`,
      ...asked.words,
      'Nothing is changed unless somebody else of the roster agrees. Agree only if you know why; else do nothing.',
    ],
  };
}

/** To a contact who was taken off the roster; sent with a file that clears the calendar. */
export function removedMessage(state: TripState, by: string): Message {
  return {
    subject: `${state.name}: you are no longer a contact`,
    lines: [
      `${by} has taken you off the roster of ${state.name}. You are not told of missed times any more.`,
      'If an alarm stands that you were told of, you hear how it ends.',
      'The file takes the times out of your calendar.',
    ],
  };
}

/** To the party, ahead of a time that it promised. */
export function aheadMessage(state: TripState, e: Expectation, nowMs: number): Message {
  const option = e.kind === 'topout' || e.kind === 'down' || e.kind === 'callout' ? e.kind : 'once';
  const told = contacts(state);
  return {
    subject: `${state.name}: a word is due soon`,
    pings: field(state).flatMap((p) => accountOf(state, p) ?? []),
    buttons: [
      {
        label: 'We are well',
        tone: 'main',
        press: { path: 'checkin ok', options: {} },
      },
      ...(e.kind === 'nightly' || e.kind === 'checkin' ? [] : [moveButton(state, option, e)]),
    ],
    lines: [
      [
        'Due in ',
        duration((e.dueMs - nowMs) / 60_000),
        ': ',
        expected(e),
        at(state, e.dueMs, nowMs),
        '.',
      ],
      e.kind === 'nightly' || e.kind === 'checkin'
        ? 'A word in the hour before it keeps it.'
        : 'If that won’t hold, move it before anyone worries.',
      ...(told.length === 0 ? [] : [`If nothing is heard, ${names(told.slice(0, 1))} is told.`]),
    ],
  };
}

function moveButton(
  state: TripState,
  option: 'once' | 'topout' | 'down' | 'callout',
  e: Expectation,
): Button {
  return {
    label: 'Move it',
    press: { path: 'checkin plan', options: { plan: planSeq(state) } },
    ask: {
      title: 'A new time',
      fields: [{ name: option, label: label(e), placeholder: '22:30, +2h, tomorrow 06:00' }],
    },
  };
}

function label({ kind }: Expectation): string {
  if (kind === 'callout') return 'Call-out time';
  return kind === 'topout' ? 'Top-out by' : 'Everyone down by';
}
