import type { App } from '../app/app.ts';
import type { Access, Call } from '../app/command.ts';
import { Refusal } from '../say/refusal.ts';
import type { TripRow } from '../store/port.ts';
import type { TripEvent } from '../trip/event.ts';
import { fold } from '../trip/fold.ts';
import type { TripState } from '../trip/state.ts';
import { mustAct } from './membership.ts';

export interface Loaded {
  row: TripRow;
  history: TripEvent[];
  state: TripState;
}

/**
 * The trip a call is about: the one its button belongs to, else the channel's open one, else (in a
 * direct message) the only open trip this person is on. Throws a Refusal with the way out otherwise.
 */
export async function findRow(app: App, call: Call): Promise<TripRow> {
  const row = await lookUp(app, call);
  if (row === undefined || row.status === 'purged') throw noTrip(call);
  return row;
}

async function lookUp(app: App, call: Call): Promise<TripRow | undefined> {
  if (call.trip !== undefined) return app.store.trip(call.trip);
  const here = await app.store.openTripIn(call.where.channel);
  if (here !== undefined || !call.where.direct) return here;
  const mine = await app.store.openTripsOf(call.actor.id);
  if (mine.length <= 1) return mine[0];
  throw new Refusal([
    `You are on ${mine.length} open trips: ${mine.map((t) => t.name).join(', ')}.`,
    'Use the command in the channel of the one you mean.',
  ]);
}

function noTrip(call: Call): Refusal {
  return new Refusal([
    call.trip === undefined
      ? 'No trip is open in this channel.'
      : 'That message belongs to a trip that is gone.',
    ['To open one: ', { code: '/trip open name:"Our wall" zone:Europe/Oslo' }],
  ]);
}

/** Trips as they were read last, by store; good as long as the newest entry is the same. */
const readLast = new WeakMap<App['store'], Map<string, Loaded>>();
const KEPT = 200;

export async function load(app: App, row: TripRow): Promise<Loaded> {
  const kept = readLast.get(app.store) ?? new Map<string, Loaded>();
  readLast.set(app.store, kept);
  const known = kept.get(row.id);
  if (known !== undefined && known.state.seq === row.seq) return { ...known, row };
  const history = await app.store.events(row.id);
  const loaded = { row, history, state: fold(row.id, history) };
  kept.delete(row.id);
  kept.set(row.id, loaded);
  for (const old of kept.keys()) {
    if (kept.size <= KEPT) break;
    kept.delete(old);
  }
  return loaded;
}

/** Drops what is kept of a trip in memory; part of erasing it. */
export function forget(app: App, trip: string): void {
  readLast.get(app.store)?.delete(trip);
}

/** Loads the call's trip for looking at it. `act` is for private details. */
export async function look(app: App, call: Call, access: Access = 'look'): Promise<Loaded> {
  const loaded = await load(app, await findRow(app, call));
  if (access === 'act') mustAct(loaded.state, call);
  return loaded;
}

/** Like `look`, but falls back to the channel's last trip, closed ones included. */
export async function lookBack(app: App, call: Call, access: Access = 'look'): Promise<Loaded> {
  const open = await lookUp(app, call);
  const row = open ?? (await app.store.lastTripIn(call.where.channel));
  if (row === undefined || row.status === 'purged') throw noTrip(call);
  const loaded = await load(app, row);
  if (access === 'act') mustAct(loaded.state, call);
  return loaded;
}
