import type { Message } from '../../say/message.ts';
import type { Button } from '../../say/reply.ts';
import { dayClock, duration } from '../../time/format.ts';
import { pitchAt, type TripState } from '../../trip/state.ts';
import type { Expectation } from '../expectations.ts';
import type { StopPassed } from '../stop-time.ts';
import { planSeq } from '../weaker.ts';
import { accountOf, field, names, reachable } from '../who.ts';
import { at, expected } from './common.ts';
import type { Home } from './home.ts';

/** A change that would weaken the watch, to whoever may agree to it while an alarm stands. */
export function askedMessage({ w, state }: Home, seq: number): Message | undefined {
  const asked = state.watch.asked.find((a) => a.seq === seq);
  if (asked === undefined || state.watch.agreed.some((a) => a.asked === seq)) return undefined;
  return {
    subject: w.text('agree.subject', { trip: state.name }),
    now: w.say('agree.then'),
    buttons: [
      {
        label: w.text('button.agree'),
        press: { path: 'overdue agree', options: { entry: asked.seq } },
      },
    ],
    lines: [w.say('agree.first', { asker: asked.by.name }), ...asked.words, w.say('agree.then')],
  };
}

/** To a contact who was taken off the roster; sent with a file that clears the calendar. */
export function removedMessage({ w, state }: Home, by: string): Message {
  return {
    subject: w.text('removed.subject', { trip: state.name }),
    lines: [
      w.say('removed.first', { by, trip: state.name }),
      w.say('removed.alarm'),
      w.say('removed.file'),
    ],
  };
}

/** To the party, ahead of a time that it promised. */
export function aheadMessage(state: TripState, e: Expectation, nowMs: number): Message {
  const option = e.kind === 'topout' || e.kind === 'down' || e.kind === 'callout' ? e.kind : 'once';
  const told = reachable(state);
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

/**
 * To the party, once the stop time of a planned night has passed in silence. Nobody is called: it is a question,
 * and whoever is asleep there needn't answer.
 *
 * @param ways a line a way, with its odds
 */
export function stopMessage(
  state: TripState,
  { night, done, stopMs }: StopPassed,
  ways: readonly string[],
  nowMs: number,
): Message {
  const told = pitchAt(state, done)?.done?.atMs;
  const when = told === undefined ? '' : `, done ${dayClock(state.zone, told, nowMs)}`;
  return {
    subject: `${state.name}: the stop time has passed`,
    buttons: lateButtons(done),
    lines: [
      `Stop time ${dayClock(state.zone, stopMs, nowMs)}, and no word yet from the planned ledge (pitch ${night}). Last told: pitch ${done}${when}.`,
      ['If they are there: ', { code: '/pitch done' }, ', then ', { code: '/bivy settle' }],
      `If they are still after ${done}, what do they mean to do?`,
      ...ways,
    ],
  };
}

/** What can be chosen short of the planned ledge at the stop time, after that pitch. */
export function lateButtons(done: number): Button[] {
  const options = { pitch: done, here: done };
  return [
    { label: 'On in the dark', press: { path: 'plan', options: { way: 'dark', pitch: done } } },
    { label: 'Sit it out', press: { path: 'bivy settle', options } },
    { label: 'Down', press: { path: 'retreat begin', options } },
  ];
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
