import type { DeadlineRow } from '../store/port.ts';
import type { TripState } from '../trip/state.ts';
import { aheadDeadlines } from './ahead.ts';
import { unmet, watched } from './expectations.ts';
import { phaseNow, phasesToTell, phaseTimes } from './ladder.ts';
import { askDeadlines } from './late.ts';
import { lapses, repeating, repeatsRound } from './repeats.ts';
import { STAND_DOWN_MAX, standDownAtMs, standDownOf } from './stand-down.ts';
import { stopDeadlines } from './stop-time.ts';

/** A wake-up call for one trip: its key and its time. */
export type Deadline = Omit<DeadlineRow, 'trip'>;

/**
 * When the watch has to look at this trip again; nothing for a trip that isn't watched. A deadline only
 * wakes the watch up. What is to be told is worked out from the record when it rings, so a stale one
 * does no harm. A key with its time fires once.
 */
export function deadlinesOf(state: TripState, nowMs: number): Deadline[] {
  const standDown = standDownDeadlines(state);
  if (!watched(state) && unmet(state).length === 0) return standDown;
  const found = new Map<string, Deadline>();
  // A phase is passed over while a higher one stands. Its key names the one that stands, so that it
  // rings once more when that is gone, even if the clock was set back meanwhile.
  const above = phaseNow(state)?.seq ?? 0;
  for (const { phase, atMs, root } of phaseTimes(state)) {
    if (atMs <= nowMs) continue;
    // Groups with the same delay share one.
    const key = `${phase}:${root.key}:${root.dueMs}:${(atMs - root.dueMs) / 60_000}:${above}`;
    found.set(key, { key, dueAtMs: atMs, data: null });
  }
  // Of the times that have passed, some phases may still have to be told: look at once.
  if (phasesToTell(state, nowMs).length > 0) {
    const key = `look:${state.seq}`;
    found.set(key, { key, dueAtMs: nowMs, data: null });
  }
  const ahead = aheadDeadlines(state)
    .filter((d) => d.dueAtMs > nowMs)
    .map(({ about: _, ...deadline }) => deadline);
  const asks = [...askDeadlines(state, unmet(state)), ...stopDeadlines(state, nowMs)];
  for (const deadline of [...repeatDeadlines(state, nowMs), ...ahead, ...asks, ...standDown]) {
    found.set(deadline.key, deadline);
  }
  return [...found.values()];
}

function standDownDeadlines(state: TripState): Deadline[] {
  const stands = standDownOf(state);
  if (stands === undefined) return [];
  return Array.from({ length: STAND_DOWN_MAX }, (_, i) => ({
    key: `standdown:${stands.call.seq}:${stands.sinceMs}:${i + 1}`,
    dueAtMs: standDownAtMs(stands, i + 1),
    data: null,
  }));
}

/**
 * Of an alarm's reminders the next one, and the last before it should it not have rung yet. When one rings, the next is set with it.
 */
function repeatDeadlines(state: TripState, nowMs: number): Deadline[] {
  const repeats = repeating(state).flatMap((raised) => {
    const { last, next } = repeatsRound(raised, nowMs);
    return [last, next].flatMap((repeat) =>
      repeat === undefined
        ? []
        : [{ key: `repeat:${raised.seq}:${repeat.n}`, dueAtMs: repeat.atMs, data: null }],
    );
  });
  const lapsed = lapses(state).map(({ ack, raised, atMs }) => ({
    key: `lapse:${raised.seq}:${ack}`,
    dueAtMs: atMs,
    data: null,
  }));
  return [...repeats, ...lapsed];
}
