import type { TripState } from '../trip/state.ts';
import { rankOf, standing } from './ladder.ts';
import { calledSince } from './repeats.ts';

const MINUTE_MS = 60_000;
/** Minutes from one asking to the next whether the rescue service was told. Engineering choice. */
const GAPS_MIN = [10, 20, 30, 60, 60, 60] as const;
/** Most askings after one word. */
export const STAND_DOWN_MAX = GAPS_MIN.length;
/** Whoever called the rescue service tells it within this after the word. Engineering choice. */
export const STAND_DOWN_MS = 15 * MINUTE_MS;

/** A call-out that stands though what it was about was answered. */
export interface StandDown {
  call: TripState['watch']['called'][number];
  /** When it was last answered, epoch milliseconds. */
  sinceMs: number;
}

/**
 * The call-out of which the rescue service has to hear that the party was heard from (in rescue usage:
 * to stand down); undefined when none was made, the alarm still stands, or it is done.
 */
export function standDownOf(state: TripState): StandDown | undefined {
  const { watch } = state;
  const call = watch.called.at(-1);
  if (call === undefined || state.closedAtMs !== undefined) return undefined;
  if (watch.stoodDown.some((s) => s.call >= call.seq)) return undefined;
  const alarm = (r: (typeof watch.raised)[number]) => rankOf(r.phase) >= rankOf('alert');
  if (standing(state).some((r) => alarm(r) && calledSince(state, r))) return undefined;
  const times = [
    ...watch.signs.flatMap((s) => (s.seq > call.seq ? [s.recordedAtMs] : [])),
    ...state.troubles.flatMap((t) =>
      t.over !== undefined && t.over.seq > call.seq ? [t.over.atMs] : [],
    ),
    ...(state.downAtMs === undefined ? [] : [Math.max(state.downAtMs, call.atMs)]),
  ];
  return times.length === 0 ? undefined : { call, sinceMs: Math.max(...times) };
}

/** When it is asked for the nth time whether that was done, n from 1, epoch milliseconds. */
export function standDownAtMs({ sinceMs }: StandDown, n: number): number {
  return sinceMs + GAPS_MIN.slice(0, n).reduce((sum, min) => sum + min, 0) * MINUTE_MS;
}
