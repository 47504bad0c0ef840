import type { Message } from '../../say/message.ts';
import { clock } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import { eraseDay } from '../keeping.ts';

/** Said in the trip's channel some days before its record erases itself. */
export function erasingMessage(state: TripState, atMs: number): Message {
  const closed = state.closedAtMs !== undefined;
  return {
    subject: `The record of ${state.name} will be erased`,
    lines: [
      `The record of ${state.name} erases itself on ${eraseDay(state, atMs)}, ${clock(state.zone, atMs)}: nobody is out, and nothing more was told.`,
      "All of it goes: names, phones, times, the board. It can't be brought back.",
      ['To keep a copy: ', { code: '/log export' }],
      ...(closed ? [] : ['Any post to the trip keeps it.']),
    ],
  };
}
