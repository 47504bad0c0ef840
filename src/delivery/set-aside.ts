import { deadlinesOf } from '../alarm/deadlines.ts';
import { newNotice } from '../alarm/notice.ts';
import { FIELD } from '../alarm/who.ts';
import { SELF } from '../record/self.ts';
import { UnreadableRecord, unreadableLines } from '../record/unreadable.ts';
import type { Message } from '../say/message.ts';
import type { Store } from '../store/port.ts';
import type { WatchParts } from './ports.ts';

/**
 * Sets a trip aside whose record can't be read: its channel is told once, and its deadlines that have
 * rung are put away, so that they hold up nobody else. `bringBack` arms them again.
 */
export async function setAside(
  parts: WatchParts,
  { trip, seq, open }: UnreadableRecord,
  keys: readonly string[],
): Promise<void> {
  const nowMs = parts.clock.wallMs();
  const { times, aside } = await notedOf(parts.store, trip);
  // Told anew when it had been brought back in between.
  const time = aside ? times : times + 1;
  const notice = newNotice(trip, FIELD, { kind: 'unreadable', seq }, nowMs, { key: `/${time}` });
  // First the note: a crash in between leaves a deadline that rings again, not one that is lost.
  if (!aside) await note(parts.store, trip, { times: time, aside: true });
  await parts.store.fire({ trip, keys, atMs: nowMs, notices: open ? [notice] : [] });
}

/**
 * Reads every open trip once, at the start: one that can't be read is set aside before its first
 * deadline rings, and one that was set aside and can be read again is watched again.
 */
export async function lookOver(parts: WatchParts, signal?: AbortSignal): Promise<void> {
  for (const row of await parts.store.openTrips()) {
    if (signal?.aborted === true) return;
    await lookAt(parts, row.id);
  }
}

/** Tries those again that could not be read. Their record may have been mended meanwhile. */
export async function lookAgain(parts: WatchParts): Promise<void> {
  for (const { trip } of parts.records.unreadable) await lookAt(parts, trip);
}

async function lookAt(parts: WatchParts, trip: string): Promise<void> {
  try {
    const loaded = await parts.records.load(trip);
    if (loaded?.row.status === 'open') await bringBack(parts, trip);
  } catch (error) {
    if (error instanceof UnreadableRecord) return setAside(parts, error, []);
    // The others are looked at all the same.
    parts.counters.fault('fire');
    parts.log.error({ err: error, trip }, 'a trip could not be looked at');
  }
}

/** Its deadlines anew: what rang while nobody could read the record rings now. Its channel hears of it. */
async function bringBack(parts: WatchParts, trip: string): Promise<void> {
  const { times, aside } = await notedOf(parts.store, trip);
  if (!aside) return parts.records.mended(trip);
  const nowMs = parts.clock.wallMs();
  await parts.records.rearm(trip, nowMs, SELF, (state) => ({
    deadlines: deadlinesOf(state, nowMs),
    notices: [
      newNotice(trip, FIELD, { kind: 'readable', seq: state.seq }, nowMs, { key: `/${times}` }),
    ],
  }));
  await note(parts.store, trip, { times, aside: false });
  parts.records.mended(trip);
  parts.log.info({ trip }, 'a trip that was set aside can be read again and is watched');
}

interface Noted {
  /** How often it has been set aside so far. */
  times: number;
  aside: boolean;
}

/** Ends in the trip's id, so that purging a trip takes it along. */
const factOf = (trip: string) => `aside:${trip}`;

async function notedOf(store: Store, trip: string): Promise<Noted> {
  const [times = '0', word] = ((await store.getFact(factOf(trip))) ?? '').split(' ');
  return { times: Number(times), aside: word === 'aside' };
}

function note(store: Store, trip: string, { times, aside }: Noted): Promise<void> {
  return store.setFact(factOf(trip), `${times} ${aside ? 'aside' : 'back'}`);
}

/** To the trip's channel. Nothing of the record may be needed to say it. */
export function unreadableMessage(error: UnreadableRecord): Message {
  return { subject: 'This trip is not watched', lines: unreadableLines(error) };
}
