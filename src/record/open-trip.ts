import type { App } from '../app/app.ts';
import type { Call } from '../app/command.ts';
import { Refusal } from '../say/refusal.ts';
import type { Reply } from '../say/reply.ts';
import { admit } from '../trip/admit.ts';
import type { TripEvent } from '../trip/event.ts';
import type { TripState } from '../trip/state.ts';
import { type Draft, refusalOf, toEvents } from './change.ts';
import { storedForm } from './stored.ts';

export interface Opening {
  /** The first events; an imported record keeps its own numbers, ids and people. */
  events(trip: string): readonly TripEvent[];
  answer(after: TripState): Reply;
}

/** Opens a trip in the call's channel with its first events, all or nothing. */
export async function openTrip(app: App, call: Call, opening: Opening): Promise<Reply> {
  const repeated = await app.store.answered(call.id);
  if (repeated !== undefined) return repeated.answer as Reply;
  const trip = app.ids.trip();
  const events = opening.events(trip);
  const result = admit(trip, [], events, call.atMs);
  if (!result.ok) throw refusalOf(result.no);
  const after = result.value;
  const reply = { ...opening.answer(after), trip };
  const { guild, channel } = call.where;
  const stored = await app.store.openTrip(
    { id: trip, channel, openedAtMs: call.atMs, ...(guild === undefined ? {} : { guild }) },
    await storedForm(app, {
      before: undefined,
      after,
      events,
      nowMs: call.atMs,
      key: call.id,
      reply,
    }),
  );
  if (stored.ok) {
    app.changed(trip);
    return reply;
  }
  if (stored.why === 'repeated') return stored.answer as Reply;
  if (stored.why === 'channel-taken') throw await taken(app, stored.trip);
  throw new Error(`opening refused: ${stored.why}`);
}

/** First events of a new trip from drafts. */
export function freshEvents(app: App, call: Call, drafts: readonly Draft[]) {
  return (trip: string) => toEvents(app, call, trip, 0, drafts);
}

async function taken(app: App, id: string): Promise<Refusal> {
  const row = await app.store.trip(id);
  return new Refusal([
    `${row?.name ?? 'A trip'} is open in this channel; one channel holds one open trip.`,
    'Open yours in another channel, or end this one first: /trip close.',
  ]);
}
