import type { Message } from '../../say/message.ts';
import type { Line } from '../../say/reply.ts';
import type { TripState } from '../../trip/state.ts';
import { at } from './common.ts';
import type { Home } from './home.ts';
import { planLines } from './plan.ts';

/** To the channel: a contact has moved times, maybe where the party doesn't see it. */
export function movedFromHome({ state, nowMs }: Home, changes: readonly Line[]): Message {
  return {
    subject: `${state.name}: times`,
    lines: [
      ...changes,
      ...planLines(state, nowMs),
      'If that is not as agreed, set it back: /checkin plan',
    ],
  };
}

/** To the channel: by the word of a contact, entry `seq`, nobody watches any more. */
export function overFromHome(state: TripState, seq: number, nowMs: number): Message {
  const by = state.entries.find(({ event }) => event.seq === seq)?.event.by.name ?? '';
  const unwatched = 'Nobody at home is told any more if you are late.';
  const { downAtMs, closedAtMs } = state;
  if (closedAtMs !== undefined) {
    return {
      subject: `${state.name}: closed`,
      lines: [
        `${by} closed this trip. ${unwatched}`,
        'To be watched again, open it anew: /trip open',
      ],
    };
  }
  const first: Line =
    downAtMs === undefined
      ? `${by} took the departure back. ${unwatched}`
      : [`${by} says that everyone is down, `, at(state, downAtMs, nowMs), `. ${unwatched}`];
  return {
    subject: `${state.name}: not watched`,
    lines: [first, 'If that is wrong, take it back: /log show gives its number for /pitch strike.'],
  };
}
