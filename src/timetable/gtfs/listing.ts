import { readCalendar } from './calendar.ts';
import { cut, timeField, wholeField } from './fields.ts';
import { GTFS_LIMITS, type GtfsLimits } from './limits.ts';
import { FeedError, type FeedRefusal, type FeedResult, readingFeed } from './refusal.ts';
import { type Row, readRows } from './rows.ts';
import { readRoutes, readStops, readTrips, readZone, type Stop } from './tables.ts';
import { type FeedZip, openFeed } from './zip.ts';

/**
 * What can be chosen from in a feed: plain data, kept while people choose by autocomplete. A call is
 * a stop that a route leaves in one direction.
 */
export interface FeedListing {
  zone: string;
  /** First and last day of any service, `YYYY-MM-DD`. */
  covers?: { from: string; to: string };
  /** Stations, and stops that belong to none, that something leaves. */
  stops: { id: string; name: string }[];
  routes: { id: string; name: string }[];
  calls: FeedCall[];
  /** Routes left out, because a row of theirs can't be read: the first such row of each. */
  skipped: { route: string; why: FeedRefusal }[];
}

/** One stop that one route leaves in one direction. */
export interface FeedCall {
  /** Index in `stops` and `routes`. */
  stop: number;
  route: number;
  direction?: 0 | 1;
  /** What stands on the front of the vehicle, up to twenty. */
  headsigns: string[];
  /** Trips in the feed that leave here, over all its days. */
  trips: number;
}

/** Slots a route has: direction 0, direction 1, not said. */
const SLOTS = 3;
const HEADSIGNS_SHOWN = 20;

/**
 * Lists stops, routes and directions of a GTFS Schedule feed, checking every row it passes. Memory is
 * bounded by the limits: of stop_times.txt only counts are kept.
 *
 * @param bytes the feed's zip
 */
export function listFeed(
  bytes: Uint8Array,
  limits: GtfsLimits = GTFS_LIMITS,
): Promise<FeedResult<FeedListing>> {
  return readingFeed(async () => {
    const zip = await openFeed(bytes, limits);
    const zone = await readZone(zip, limits);
    const stops = await readStops(zip, limits);
    const routes = await readRoutes(zip, limits);
    const trips = await readTripTable(zip, limits, routes);
    const { covers } = await readCalendar(zip, limits, () => false);
    const counts = await countCalls(zip, limits, stops, trips);
    const listing = toListing(stops, routes, trips, counts);
    return { zone, ...(covers ? { covers } : {}), ...listing };
  });
}

/** Trips by index, in arrays side by side, because there may be half a million. */
interface TripTable {
  index: Map<string, number>;
  /** Route index × 3 + slot of the direction. */
  slot: number[];
  /** By slot. */
  headsigns: Map<number, string[]>;
}

async function readTripTable(
  zip: FeedZip,
  limits: GtfsLimits,
  routes: ReadonlyMap<string, string>,
): Promise<TripTable> {
  const routeIndex = new Map([...routes.keys()].map((id, index) => [id, index]));
  const table: TripTable = { index: new Map(), slot: [], headsigns: new Map() };
  await readTrips(zip, limits, routes, (trip) => {
    if (table.index.has(trip.id)) throw trip.row.refuse(`trip_id ${cut(trip.id)} comes twice.`);
    const slot = routeIndex.get(trip.routeId)! * SLOTS + (trip.direction ?? 2);
    table.index.set(trip.id, table.slot.length);
    table.slot.push(slot);
    const headsigns = table.headsigns.get(slot) ?? [];
    if (trip.headsign !== '' && !headsigns.includes(trip.headsign)) {
      if (headsigns.length < HEADSIGNS_SHOWN) headsigns.push(trip.headsign);
      table.headsigns.set(slot, headsigns);
    }
  });
  return table;
}

/** Trips that leave a station or lone stop, by stop index and slot. */
interface Counts {
  places: string[];
  byCall: Map<number, number>;
  slots: number;
  /** By route index, the first row of it that can't be read. */
  skipped: Map<number, FeedRefusal>;
}

/** Where and how a vehicle stops, of a row of stop_times.txt. @throws FeedError for one that can't be read */
function readStop(row: Row, stops: ReadonlyMap<string, Stop>) {
  const stop = stops.get(row.need('stop_id'));
  if (!stop) throw row.refuse(`stop_id ${cut(row.get('stop_id'))} isn't in stops.txt.`);
  if (!stop.boarding)
    throw row.refuse(`${cut(stop.id)} is a station or an entrance, where nothing stops.`);
  timeField(row, 'arrival_time');
  timeField(row, 'departure_time');
  const sequence = wholeField(row, 'stop_sequence', { min: 0, max: 2 ** 31 - 1 });
  const pickup = wholeField(row, 'pickup_type', { min: 0, max: 3, otherwise: 0 });
  return { placeId: stop.parent ?? stop.id, sequence, pickup };
}

async function countCalls(
  zip: FeedZip,
  limits: GtfsLimits,
  stops: ReadonlyMap<string, Stop>,
  trips: TripTable,
): Promise<Counts> {
  const placeIndex = new Map<string, number>();
  const counts: Counts = { places: [], byCall: new Map(), slots: 1, skipped: new Map() };
  counts.slots = trips.slot.reduce((most, slot) => Math.max(most, slot + 1), 1);
  // Nobody boards at a trip's last stop; which one that is shows only at the end.
  const lastSequence = new Int32Array(trips.slot.length).fill(-1);
  const lastCall = new Float64Array(trips.slot.length).fill(-1);
  const add = (call: number, by: number) =>
    counts.byCall.set(call, (counts.byCall.get(call) ?? 0) + by);

  await readRows(zip, 'stop_times.txt', limits, {
    required: ['trip_id', 'stop_id', 'stop_sequence', 'arrival_time', 'departure_time'],
    onRow: (row) => {
      const trip = trips.index.get(row.need('trip_id'));
      if (trip === undefined)
        throw row.refuse(`trip_id ${cut(row.get('trip_id'))} isn't in trips.txt.`);
      const route = Math.floor(trips.slot[trip]! / SLOTS);
      if (counts.skipped.has(route)) return;
      const read = orRefusal(() => readStop(row, stops));
      if ('reason' in read) {
        counts.skipped.set(route, read);
        return;
      }
      const { placeId, sequence, pickup } = read;
      let place = placeIndex.get(placeId);
      if (place === undefined) {
        place = placeIndex.size;
        placeIndex.set(placeId, place);
        counts.places.push(placeId);
      }
      const call = place * counts.slots + trips.slot[trip]!;
      if (pickup !== 1) add(call, 1);
      if (counts.byCall.size > limits.calls) {
        throw row.refuse(`More than ${limits.calls} pairs of stop and route.`);
      }
      if (sequence > lastSequence[trip]!) {
        lastSequence[trip] = sequence;
        lastCall[trip] = pickup === 1 ? -1 : call;
      }
    },
  });
  for (const call of lastCall) if (call >= 0) add(call, -1);
  leaveOut(counts);
  return counts;
}

/** What is read, or why it can't be. */
function orRefusal<T>(read: () => T): T | FeedRefusal {
  try {
    return read();
  } catch (error) {
    if (error instanceof FeedError) return error.refusal;
    throw error;
  }
}

/** Takes out the routes that can't be read. @throws FeedError where nothing is left */
function leaveOut({ byCall, slots, skipped }: Counts): void {
  for (const call of [...byCall.keys()]) {
    if (skipped.has(Math.floor((call % slots) / SLOTS))) byCall.delete(call);
  }
  const [first] = skipped.values();
  const left = [...byCall.values()].some((count) => count > 0);
  if (first !== undefined && !left) throw new FeedError(first);
}

function toListing(
  stops: ReadonlyMap<string, Stop>,
  routes: ReadonlyMap<string, string>,
  trips: TripTable,
  counts: Counts,
): Pick<FeedListing, 'stops' | 'routes' | 'calls' | 'skipped'> {
  const used = [...counts.byCall].filter(([, count]) => count > 0);
  const kept = new Map<number, number>();
  const calls = used.map(([call, count]): FeedCall => {
    const place = Math.floor(call / counts.slots);
    const slot = call % counts.slots;
    if (!kept.has(place)) kept.set(place, kept.size);
    const direction = slot % SLOTS;
    return {
      stop: kept.get(place)!,
      route: Math.floor(slot / SLOTS),
      ...(direction < 2 ? { direction: direction as 0 | 1 } : {}),
      headsigns: trips.headsigns.get(slot) ?? [],
      trips: count,
    };
  });
  return {
    stops: [...kept.keys()].map((place) => {
      const id = counts.places[place]!;
      return { id, name: stops.get(id)!.name };
    }),
    routes: [...routes].map(([id, name]) => ({ id, name })),
    calls,
    skipped: [...counts.skipped].map(([route, why]) => ({
      route: [...routes.values()][route] as string,
      why,
    })),
  };
}
