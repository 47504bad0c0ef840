import type { TripState } from '../trip/state.ts';
import type { Raised } from '../trip/watch-state.ts';
import { reached, standing, toldOf } from './ladder.ts';

const MINUTE_MS = 60_000;

/**
 * Minutes from one telling to the next while nobody has acknowledged. The last gap is used again and
 * again. The gaps are long on purpose: a person who is flooded stops reading. Engineering choice.
 */
const GAPS_MIN = { alert: [15, 30, 60], distress: [10, 15, 30, 60] } as const;
/** Most repeats of one phase, about ten hours in all. Engineering choice. */
export const REPEATS_MAX = 12;

/**
 * When the nth repeat of a phase is due, n from 1, epoch milliseconds. Undefined beyond `REPEATS_MAX`,
 * and for due and uncertainty, which are told once.
 */
export function repeatAtMs(raised: Raised, n: number): number | undefined {
  if (raised.phase !== 'alert' && raised.phase !== 'distress') return undefined;
  if (n > REPEATS_MAX) return undefined;
  const gaps = GAPS_MIN[raised.phase];
  let min = 0;
  for (let i = 0; i < n; i++) min += gaps[Math.min(i, gaps.length - 1)] as number;
  return raised.atMs + min * MINUTE_MS;
}

/** Whether this group has said that it has the alarm in hand since it was told of this phase. */
export function acked(state: TripState, group: string, raised: Raised): boolean {
  const { watch } = state;
  return (
    watch.called.some((c) => c.seq > raised.seq) ||
    watch.acks.some((a) => a.seq > raised.seq && a.person === group)
  );
}

/** Who still has to be reminded of this phase: told of nothing higher since, nothing acknowledged. */
export function unacked(state: TripState, raised: Raised): string[] {
  const top = reached(state);
  return toldOf(state, raised).filter(
    (group) => top.get(group)?.seq === raised.seq && !acked(state, group, raised),
  );
}

/** Standing phases that are repeated, with whom. */
export function repeating(state: TripState): { raised: Raised; to: string[] }[] {
  return standing(state)
    .filter((r) => repeatAtMs(r, 1) !== undefined)
    .map((raised) => ({ raised, to: unacked(state, raised) }))
    .filter(({ to }) => to.length > 0);
}
