import type { DeadlineRow } from '../store/port.ts';
import type { TripState } from '../trip/state.ts';
import { unmet, watched } from './expectations.ts';
import { rises, rungs } from './ladder.ts';
import { earlyDeadlines } from './late.ts';
import { REPEATS_MAX, repeatAtMs, repeating } from './repeats.ts';

export type Deadline = Omit<DeadlineRow, 'trip'>;

/**
 * When the watch has to look at this trip again. A deadline is a wake-up call, no more: what is to be
 * told is worked out from the record when it rings, so a stale one does no harm. A key means the same
 * thing as long as its time stays, and has then fired once and for all.
 */
export function deadlinesOf(state: TripState, nowMs: number): Deadline[] {
  if (!watched(state)) return [];
  const found = new Map<string, Deadline>();
  for (const { phase, atMs, root } of rungs(state)) {
    // Groups with the same delay share one.
    const key = `${phase}:${root.key}:${(atMs - root.dueMs) / 60_000}`;
    found.set(key, { key, dueAtMs: atMs, data: null });
  }
  // A step that was passed over, because a higher one stood, has rung and won't ring again: when what
  // stood above it is gone, it is looked at anew.
  if (rises(state, nowMs).length > 0) {
    const key = `look:${state.seq}`;
    found.set(key, { key, dueAtMs: nowMs, data: null });
  }
  for (const deadline of [...repeatDeadlines(state), ...earlyDeadlines(state, unmet(state))]) {
    found.set(deadline.key, deadline);
  }
  return [...found.values()];
}

function repeatDeadlines(state: TripState): Deadline[] {
  return repeating(state).flatMap(({ raised }) =>
    Array.from({ length: REPEATS_MAX }, (_, i) => ({
      key: `repeat:${raised.seq}:${i + 1}`,
      dueAtMs: repeatAtMs(raised, i + 1) as number,
      data: null,
    })),
  );
}
