import type { DeadlineRow } from '../store/port.ts';
import type { TripState } from '../trip/state.ts';
import { unmet, watched } from './expectations.ts';
import { phaseNow, rises, rungs } from './ladder.ts';
import { earlyDeadlines } from './late.ts';
import { REPEATS_MAX, repeatAtMs, repeating } from './repeats.ts';

/** A wake-up call for one trip: its key and its time. */
export type Deadline = Omit<DeadlineRow, 'trip'>;

/**
 * When the watch has to look at this trip again. A deadline is a wake-up call, no more: what is to be
 * told is worked out from the record when it rings, so a stale one does no harm. A key means the same
 * thing as long as its time stays, and has then fired once and for all.
 */
export function deadlinesOf(state: TripState, nowMs: number): Deadline[] {
  if (!watched(state)) return [];
  const found = new Map<string, Deadline>();
  // A step that is passed over because a higher one stands has rung for nothing. The key names what
  // stands, so that it rings once more when that is gone, also with a clock that was set back since.
  const above = phaseNow(state)?.seq ?? 0;
  for (const { phase, atMs, root } of rungs(state)) {
    if (atMs <= nowMs) continue;
    // Groups with the same delay share one.
    const key = `${phase}:${root.key}:${(atMs - root.dueMs) / 60_000}:${above}`;
    found.set(key, { key, dueAtMs: atMs, data: null });
  }
  // What lies behind is told now or was told; the look tells which.
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
