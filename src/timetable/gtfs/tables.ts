import { cut, wholeField, zoneField } from './fields.ts';
import type { GtfsLimits } from './limits.ts';
import { FeedError } from './refusal.ts';
import { type Row, readRows } from './rows.ts';
import type { FeedZip } from './zip.ts';

/** The zone of all times in the feed: of the agencies, which must agree. */
export async function readZone(zip: FeedZip, limits: GtfsLimits): Promise<string> {
  let zone: string | undefined;
  await readRows(zip, 'agency.txt', limits, {
    required: ['agency_timezone'],
    onRow: (row) => {
      const own = zoneField(row, 'agency_timezone');
      if (zone !== undefined && own !== zone) {
        throw row.refuse(`agency_timezone ${own} differs from ${zone}; a feed keeps one zone.`);
      }
      zone = own;
    },
  });
  if (zone === undefined) throw new FeedError({ file: 'agency.txt', reason: 'No agency in it.' });
  return zone;
}

/** A row of stops.txt. */
export interface Stop {
  id: string;
  name: string;
  /** Station it belongs to. */
  parent?: string;
  /** Vehicles call here: a stop or platform, not a station, an entrance or the like. */
  boarding: boolean;
}

/**
 * Reads stops.txt.
 *
 * @returns stops by stop_id
 * @throws FeedError when the table is missing, malformed or too long
 */
export async function readStops(zip: FeedZip, limits: GtfsLimits): Promise<Map<string, Stop>> {
  const stops = new Map<string, Stop>();
  await readRows(zip, 'stops.txt', limits, {
    required: ['stop_id'],
    onRow: (row) => {
      const id = fresh(row, 'stop_id', stops, limits.stops);
      const type = wholeField(row, 'location_type', { min: 0, max: 4, otherwise: 0 });
      const named = type <= 2 ? row.need('stop_name') : row.get('stop_name');
      const name = named.slice(0, limits.nameChars);
      const parent = row.get('parent_station');
      stops.set(id, { id, name, boarding: type === 0, ...(parent === '' ? {} : { parent }) });
    },
  });
  for (const { id, parent } of stops.values()) {
    if (parent !== undefined && !stops.has(parent)) {
      const reason = `The parent_station of ${cut(id)}, ${cut(parent)}, isn't in the file.`;
      throw new FeedError({ file: 'stops.txt', reason });
    }
  }
  return stops;
}

/** Route names as people know them, by id. */
export async function readRoutes(zip: FeedZip, limits: GtfsLimits): Promise<Map<string, string>> {
  const routes = new Map<string, string>();
  await readRows(zip, 'routes.txt', limits, {
    required: ['route_id'],
    onRow: (row) => {
      const id = fresh(row, 'route_id', routes, limits.routes);
      const names = [row.get('route_short_name'), row.get('route_long_name')];
      const name = names.filter((each) => each !== '').join(' ');
      if (name === '') throw row.refuse('The route has neither a short nor a long name.');
      routes.set(id, name.slice(0, limits.nameChars));
    },
  });
  return routes;
}

/** A row of trips.txt. */
export interface TripRow {
  id: string;
  routeId: string;
  serviceId: string;
  /** direction_id, undefined where the feed doesn't say. */
  direction?: 0 | 1;
  headsign: string;
  row: Row;
}

/** Streams trips.txt; keeping them is the caller's business. */
export async function readTrips(
  zip: FeedZip,
  limits: GtfsLimits,
  routes: ReadonlyMap<string, string>,
  onTrip: (trip: TripRow) => void,
): Promise<void> {
  let count = 0;
  await readRows(zip, 'trips.txt', limits, {
    required: ['route_id', 'service_id', 'trip_id'],
    onRow: (row) => {
      if (++count > limits.trips) throw row.refuse(`More than ${limits.trips} trips.`);
      const routeId = row.need('route_id');
      if (!routes.has(routeId)) throw row.refuse(`route_id ${cut(routeId)} isn't in routes.txt.`);
      const direction =
        row.get('direction_id') === ''
          ? undefined
          : wholeField(row, 'direction_id', { min: 0, max: 1 });
      onTrip({
        id: row.need('trip_id'),
        routeId,
        serviceId: row.need('service_id'),
        ...(direction === undefined ? {} : { direction: direction as 0 | 1 }),
        headsign: row.get('trip_headsign').slice(0, limits.nameChars),
        row,
      });
    },
  });
}

/** An id that hasn't come before, within the number of them that is kept. */
function fresh(
  row: Row,
  column: string,
  known: ReadonlyMap<string, unknown>,
  most: number,
): string {
  const id = row.need(column);
  if (known.has(id)) throw row.refuse(`${column} ${cut(id)} comes twice.`);
  if (known.size >= most) throw row.refuse(`More than ${most} rows; that is more than is kept.`);
  return id;
}
