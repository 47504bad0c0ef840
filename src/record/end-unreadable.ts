import { Refusal } from '../say/refusal.ts';
import type { Reply } from '../say/reply.ts';
import type { Call } from './call.ts';
import type { Recorded } from './trips.ts';
import { type UnreadableRecord, unreadableLines } from './unreadable.ts';

/**
 * Who may end a trip whose record can't be read: whoever opened it, by the first entry as it is stored;
 * those who are on it; and the server's managers.
 */
async function mayEnd(app: Recorded, call: Call, trip: string): Promise<boolean> {
  if (call.manager === true) return true;
  const [opening] = await app.store.events(trip);
  if (opening?.by.id === call.actor.id) return true;
  return (await app.store.openTripsOf(call.actor.id)).some(({ id }) => id === trip);
}

/** @throws Refusal with what is known of the trip, for somebody who may not end it */
export async function mustEnd(app: Recorded, call: Call, error: UnreadableRecord): Promise<void> {
  if (await mayEnd(app, call, error.trip)) return;
  throw new Refusal('unreadable-record', unreadableLines(error));
}

/**
 * Frees the channel of a trip that nobody can read: it is closed in the store, and its record stays as it
 * is, for a release that can read it. Nobody watches it already.
 */
export async function closeUnreadable(
  app: Recorded,
  call: Call,
  error: UnreadableRecord,
): Promise<Reply> {
  const row = await app.store.trip(error.trip);
  const answer: Reply = {
    lines: [
      'Closed, so another trip can be opened in this channel. Its record stays as it is.',
      'Nobody watches that party: whoever waits for them goes by what they were told.',
      ['To erase it with all personal data: ', { code: '/trip purge' }],
    ],
    trip: error.trip,
  };
  const result = await app.store.append({
    ...{ trip: error.trip, afterSeq: row?.seq ?? 0, key: call.id, events: [], answer },
    ...{ members: [call.actor.id], status: 'closed', name: row?.name ?? '' },
    ...{ deadlines: [], notices: [] },
  });
  if (!result.ok && result.why === 'repeated') return result.answer as Reply;
  if (!result.ok) throw new Error(`closing refused: ${result.why}`);
  app.records.forget(error.trip);
  return answer;
}
