import { deadlinesOf } from '../alarm/deadlines.ts';
import { newNotice } from '../alarm/notice.ts';
import { UnreadableRecord } from '../record/unreadable.ts';
import type { Message } from '../say/message.ts';
import { FIELD } from '../trip/watch-state.ts';
import type { WatchParts } from './ports.ts';
import { SELF } from './self.ts';

/** Ends in the trip's id, so that purging a trip takes it along. */
const factOf = (trip: string) => `aside:${trip}`;

/**
 * Sets a trip aside whose record can't be read: its channel is told once, and its deadlines that have
 * rung are put away, so that they hold up nobody else. `lookOver` brings them back.
 */
export async function setAside(
  parts: WatchParts,
  { trip, seq }: UnreadableRecord,
  keys: readonly string[],
): Promise<void> {
  const nowMs = parts.clock.wallMs();
  const notices = [newNotice(trip, FIELD, { kind: 'unreadable', seq }, nowMs)];
  // First the note: a crash in between leaves a deadline that rings again, not one that is lost.
  await parts.store.setFact(factOf(trip), String(seq));
  await parts.store.fire({ trip, keys, atMs: nowMs, notices });
}

/**
 * Reads every open trip once, at the start: one that can't be read is set aside before its first
 * deadline rings, and one that was set aside and can be read again is watched again.
 */
export async function lookOver(parts: WatchParts, signal?: AbortSignal): Promise<void> {
  for (const row of await parts.store.openTrips()) {
    if (signal?.aborted === true) return;
    try {
      await parts.records.read(row);
      if ((await parts.store.getFact(factOf(row.id))) !== undefined) await bringBack(parts, row.id);
    } catch (error) {
      if (!(error instanceof UnreadableRecord)) throw error;
      await setAside(parts, error, []);
    }
  }
}

/** Its deadlines anew: what rang while nobody could read the record rings now. */
async function bringBack(parts: WatchParts, trip: string): Promise<void> {
  const nowMs = parts.clock.wallMs();
  await parts.records.rearm(trip, nowMs, SELF, (state) => deadlinesOf(state, nowMs));
  await parts.store.setFact(factOf(trip), undefined);
  parts.log.info({ trip }, 'a trip that was set aside can be read again and is watched');
}

/** To the trip's channel. Nothing of the record may be needed to say it. */
export function unreadableMessage({ trip, seq }: UnreadableRecord): Message {
  return {
    subject: 'This trip is not watched',
    lines: [
      `tagline can't read this trip's record any more (entry ${seq}), so nobody watches its clock.`,
      'Nothing is lost. Until it is mended, keep the times yourselves, and tell whoever waits at home.',
      `Whoever runs this bot finds it in the log as trip ${trip}.`,
    ],
  };
}
