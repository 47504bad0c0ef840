import { Refusal } from '../say/refusal.ts';
import type { Store, TripRow } from '../store/port.ts';
import type { Call } from './call.ts';
import { mustAct } from './membership.ts';
import type { Loaded, Records } from './records.ts';

/** A trip's row and its state as it was read. */
export type { Loaded } from './records.ts';

/** What a command needs to reach the records. */
export interface Recorded {
  store: Store;
  records: Records;
  ids: { trip(): string };
}

/** Who may see a trip: anybody in its channel, or those on its roster. */
type Sight = 'anyone' | 'look' | 'act';

/**
 * The trip a call is about: the one its button belongs to, else the channel's open one, else (in a
 * direct message) the only open trip this person is on. Throws a Refusal with the way out otherwise.
 */
export async function findRow(app: Recorded, call: Call): Promise<TripRow> {
  const row = await lookUp(app, call);
  if (row === undefined || row.status === 'purged') throw noTrip(call);
  return row;
}

async function lookUp(app: Recorded, call: Call): Promise<TripRow | undefined> {
  if (call.trip !== undefined) return app.store.trip(call.trip);
  const here = await app.store.openTripIn(call.where.channel);
  if (here !== undefined || !call.where.direct) return here;
  const mine = await app.store.openTripsOf(call.actor.id);
  if (mine.length <= 1) return mine[0];
  throw new Refusal('ambiguous-name', [
    `You are on ${mine.length} open trips: ${mine.map((t) => t.name).join(', ')}.`,
    'Use the command in the channel of the one you mean.',
  ]);
}

/** The refusal when there is no trip to speak of. */
export function noTrip(call: Call): Refusal {
  return new Refusal('no-trip', [
    call.trip === undefined
      ? 'No trip is open in this channel.'
      : 'That message belongs to a trip that is gone.',
    ['To open one: ', { code: '/trip open name:"Our wall" zone:Europe/Oslo' }],
  ]);
}

/** Loads the call's trip for looking at it. `act` is for private details. */
export async function look(app: Recorded, call: Call, access: Sight = 'look'): Promise<Loaded> {
  const loaded = await app.records.read(await findRow(app, call));
  if (access === 'act') mustAct(loaded.state, call);
  return loaded;
}

/** Like `look`, but falls back to the channel's last trip, closed ones included. */
export async function lookBack(app: Recorded, call: Call, access: Sight = 'look'): Promise<Loaded> {
  const open = await lookUp(app, call);
  const row = open ?? (await app.store.lastTripIn(call.where.channel));
  if (row === undefined || row.status === 'purged') throw noTrip(call);
  const loaded = await app.records.read(row);
  if (access === 'act') mustAct(loaded.state, call);
  return loaded;
}
