import { Refusal } from '../say/refusal.ts';
import { dayClock } from '../time/format.ts';
import { parseWhen, type Sense } from '../time/parse.ts';
import type { TripState } from '../trip/state.ts';
import type { Call } from './command.ts';

const MINUTE = 60_000;

export interface Told {
  /** Epoch milliseconds, on the whole minute: radio words and wall clocks know no seconds. */
  atMs: number;
  typed?: string;
  /** What was assumed about a doubled hour, to be shown. */
  note?: string;
}

/**
 * The time a post speaks of: what was typed, in the trip's zone; now when nothing was. A bare time is
 * the one nearest to `nearMs`, or to now.
 */
export function toldTime(
  state: Pick<TripState, 'zone'>,
  call: Call,
  typed: string | undefined,
  sense: Sense = 'past',
  nearMs?: number,
): Told {
  if (typed === undefined) return { atMs: Math.floor(call.atMs / MINUTE) * MINUTE };
  const when = parseWhen(typed, {
    zone: state.zone,
    nowMs: call.atMs,
    sense,
    ...(nearMs === undefined ? {} : { nearMs }),
  });
  if (!when.ok) throw new Refusal('unreadable-time', [when.message]);
  return {
    atMs: Math.floor(when.atMs / MINUTE) * MINUTE,
    typed,
    ...(when.note === undefined ? {} : { note: when.note }),
  };
}

/** `2031-06-12T14:22Z`, for a button: told times are whole minutes, and a button has little room. */
export const exactTime = (ms: number): string => `${new Date(ms).toISOString().slice(0, 16)}Z`;

/** `You settled at 21:07, so you can't have left at 20:07.`; and what to do about it. */
export function early(
  state: Pick<TripState, 'zone'>,
  began: string,
  beganMs: number,
  ended: string,
  endedMs: number,
): string[] {
  const [from, to] = [
    dayClock(state.zone, beganMs, endedMs),
    dayClock(state.zone, endedMs, beganMs),
  ];
  return [
    `${began} at ${from}, so ${ended} at ${to}.`,
    'Give a later time; or mend the other entry: /log show has its number for /pitch amend.',
  ];
}
