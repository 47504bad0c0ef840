import type { Message } from '../../say/message.ts';
import type { Line } from '../../say/reply.ts';
import { contacts, FIELD, names } from '../who.ts';
import { at, lastHeard } from './common.ts';
import { type Home, lastHeardIn, nextOpen, phonesIn, when } from './home.ts';
import { nextLines } from './news.ts';

/** In the middle of a message about something else: silence may be ours. */
export function deafLine(h: Home, sinceMs: number): Line {
  return h.w.say('phase.deaf', { since: when(h, sinceMs) });
}

/**
 * Posts don't reach us. To the channel: how to be heard all the same; to a contact: that it is our trouble
 * and not the party's, and whom to ring.
 *
 * @param sinceMs when the chat was lost, epoch milliseconds
 */
export function deafMessage(h: Home, to: string, sinceMs: number): Message {
  const { w, state, nowMs } = h;
  if (to === FIELD) {
    const told = contacts(state);
    const ring = ringable(told);
    return {
      subject: `${state.name}: posts do not reach tagline`,
      lines: [
        ['Posts and buttons here have not reached tagline since ', at(state, sinceMs, nowMs), '.'],
        'The watch goes on without them: it may call you late though you posted in time.',
        `Until it is back, tell ${told.length === 0 ? 'somebody at home' : names(told)} by phone${ring === '' ? '' : `: ${ring}`}. Keep posts on paper, with their times.`,
      ],
    };
  }
  const phones = phonesIn(state, ['climber', 'ground']);
  return {
    subject: w.text('deaf.subject', { trip: state.name }),
    now: w.say('deaf.nothing'),
    lines: [
      w.say('deaf.first', { since: when(h, sinceMs) }),
      w.say('deaf.watch'),
      phones === '' ? w.say('deaf.ring') : w.say('deaf.ringPhones', { phones }),
      lastHeardIn(h),
      ...nextOpen(h),
      w.say('deaf.nothing'),
    ],
  };
}

/** Posts reach us again. What was posted meanwhile is lost, and is to be posted again. */
export function hearingMessage(
  h: Home,
  to: string,
  { sinceMs, backMs }: { sinceMs: number; backMs: number },
): Message {
  const { w, state, nowMs } = h;
  return {
    subject: w.text('hearing.subject', { trip: state.name }),
    ...(to === FIELD ? {} : { now: w.say('hearing.then') }),
    lines: [
      w.say('hearing.first', { back: when(h, backMs), since: when(h, sinceMs) }),
      ...(to === FIELD
        ? [
            'Look in /log show, and post what is missing with the time it happened (at:14:32).',
            lastHeard(state, nowMs),
            ...nextLines(state, nowMs),
          ]
        : [w.say('hearing.then'), lastHeardIn(h), ...nextOpen(h)]),
    ],
  };
}

function ringable(people: readonly { name: string; phone?: string | undefined }[]): string {
  return people.flatMap((p) => (p.phone === undefined ? [] : [`${p.name} ${p.phone}`])).join(', ');
}
