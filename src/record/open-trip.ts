import { Refusal } from '../say/refusal.ts';
import type { Reply } from '../say/reply.ts';
import type { Draft, RawFact } from '../trip/fact.ts';
import type { TripState } from '../trip/state.ts';
import type { Call } from './call.ts';
import { refusalOf } from './change.ts';
import type { Recorded } from './trips.ts';

/** How a trip begins, and what is answered. */
export interface Opening {
  /** The first facts: drafts, or an imported record with its own numbers, ids and people. */
  first(trip: string): readonly Draft[] | Promise<readonly RawFact[]>;
  answer(after: TripState): Reply;
}

/** Opens a trip in the call's channel with its first facts, all or nothing. */
export async function openTrip(app: Recorded, call: Call, opening: Opening): Promise<Reply> {
  const repeated = await app.store.answered(call.id);
  if (repeated !== undefined) return repeated.answer as Reply;
  const trip = app.ids.trip();
  const { guild, channel } = call.where;
  const opened = await app.records.open({
    row: { id: trip, channel, openedAtMs: call.atMs, ...(guild === undefined ? {} : { guild }) },
    key: call.id,
    by: call.actor,
    first: await opening.first(trip),
    answer: (after) => ({ ...opening.answer(after), trip }),
  });
  switch (opened.outcome) {
    case 'refused':
      throw refusalOf(opened.no);
    case 'channel-taken':
      throw await taken(app, opened.trip);
    default:
      return opened.answer as Reply;
  }
}

async function taken(app: Recorded, id: string): Promise<Refusal> {
  const row = await app.store.trip(id);
  return new Refusal('channel-taken', [
    `${row?.name ?? 'A trip'} is open in this channel; one channel holds one open trip.`,
    'Open yours in another channel, or end this one first: /trip close.',
  ]);
}
