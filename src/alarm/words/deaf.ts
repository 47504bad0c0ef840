import type { Message } from '../../say/message.ts';
import type { Line } from '../../say/reply.ts';
import type { TripState } from '../../trip/state.ts';
import { contacts, FIELD, names } from '../who.ts';
import { at, lastHeard, phones } from './common.ts';
import { nextLines } from './news.ts';

/** In the middle of a message about something else: silence may be ours. */
export function deafLine(state: TripState, sinceMs: number, nowMs: number): Line {
  return [
    'Posts have not reached us since ',
    at(state, sinceMs, nowMs),
    ': the chat is cut off. They may have told it all the same. Ring them first.',
  ];
}

/**
 * Posts don't reach us. To the channel: how to be heard all the same; to a contact: that it is our trouble
 * and not the party's, and whom to ring.
 *
 * @param sinceMs when the chat was lost, epoch milliseconds
 */
export function deafMessage(state: TripState, to: string, sinceMs: number, nowMs: number): Message {
  const since = at(state, sinceMs, nowMs);
  if (to === FIELD) {
    const told = contacts(state);
    const ring = ringable(told);
    return {
      subject: `${state.name}: posts do not reach tagline`,
      lines: [
        ['Posts and buttons here have not reached tagline since ', since, '.'],
        'The watch goes on without them: it may call you late though you posted in time.',
        `Until it is back, tell ${told.length === 0 ? 'somebody at home' : names(told)} by phone${ring === '' ? '' : `: ${ring}`}. Keep posts on paper, with their times.`,
      ],
    };
  }
  const ring = phones(state, ['climber', 'ground']);
  return {
    subject: `${state.name}: our chat is cut off`,
    lines: [
      [
        'Posts have not reached us since ',
        since,
        '. The trouble is ours: it says nothing about the party.',
      ],
      'The watch goes on, and messages still go out. One may say that they are late though they told us in time.',
      ring === ''
        ? 'So ring them, or somebody who is there, before you worry.'
        : `So ring before you worry: ${ring}.`,
      lastHeard(state, nowMs),
      ...nextLines(state, nowMs),
      'You need to do nothing now. We tell you when posts reach us again.',
    ],
  };
}

/** Posts reach us again. What was posted meanwhile is lost, and is to be posted again. */
export function hearingMessage(
  state: TripState,
  to: string,
  { sinceMs, backMs }: { sinceMs: number; backMs: number },
  nowMs: number,
): Message {
  const span: Line = [
    'Posts reach tagline again, since ',
    at(state, backMs, nowMs),
    '. Those from ',
    at(state, sinceMs, nowMs),
    ' on may be missing.',
  ];
  return {
    subject: `${state.name}: posts reach tagline again`,
    lines: [
      span,
      to === FIELD
        ? 'Look in /log show, and post what is missing with the time it happened (at:14:32).'
        : 'The party and the ground crew were told to post them again.',
      lastHeard(state, nowMs),
      ...nextLines(state, nowMs),
    ],
  };
}

function ringable(people: readonly { name: string; phone?: string | undefined }[]): string {
  return people.flatMap((p) => (p.phone === undefined ? [] : [`${p.name} ${p.phone}`])).join(', ');
}
