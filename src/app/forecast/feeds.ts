import { extractTimetable } from '../../forecast/shuttle/gtfs/extract.ts';
import { GTFS_LIMITS } from '../../forecast/shuttle/gtfs/limits.ts';
import { type FeedListing, listFeed } from '../../forecast/shuttle/gtfs/listing.ts';
import { sayRefusal } from '../../forecast/shuttle/gtfs/refusal.ts';
import {
  type Suggestion,
  suggestDirections,
  suggestRoutes,
  suggestStops,
} from '../../forecast/shuttle/gtfs/suggest.ts';
import { addLocalDays, localDay } from '../../time/zone.ts';
import type { App } from '../app.ts';
import type { Call, FileArg, RawArgs, Suggest } from '../command.ts';
import { Refusal } from '../refusal.ts';
import type { Reply } from '../reply.ts';
import { findRow, look } from '../trips.ts';
import { keepShuttle } from './shuttle.ts';

/**
 * Feeds that were loaded and wait for a choice, newest last. Only in memory: what is chosen goes into
 * the trip, the feed itself needn't be kept; after a restart it is loaded once more.
 */
const waiting = new Map<string, { bytes: Uint8Array; listing: FeedListing }>();
const WAITING_MAX = 4;

/** Days around today that are taken out of a feed. */
const DAYS_BACK = 1;
const DAYS_ON = 40;

/** Reads a feed through and keeps it until stop, route and direction are picked. */
export async function loadFeed(app: App, call: Call, file: FileArg): Promise<Reply> {
  const { row } = await look(app, call, 'act');
  const bytes = await file.bytes(GTFS_LIMITS.zipBytes);
  const read = await listFeed(bytes);
  if (!read.ok) {
    throw new Refusal(["That feed can't be used; nothing was changed.", sayRefusal(read.refusal)]);
  }
  waiting.delete(row.id);
  waiting.set(row.id, { bytes, listing: read.value });
  for (const old of waiting.keys()) {
    if (waiting.size <= WAITING_MAX) break;
    waiting.delete(old);
  }
  const { stops, routes, covers, zone } = read.value;
  return {
    lines: [
      `Feed read: ${stops.length} stops, ${routes.length} routes, times in ${zone}${
        covers === undefined ? '' : `, ${covers.from} to ${covers.to}`
      }.`,
      [
        'Now pick yours, the names come as you type: ',
        { code: '/shuttle pick stop: route: direction:' },
      ],
    ],
  };
}

export interface FeedPick {
  stop: string;
  route: string;
  direction?: string | undefined;
  name: string;
}

/** Takes one stop, route and direction out of the feed and into the trip. */
export async function pickFromFeed(app: App, call: Call, pick: FeedPick): Promise<Reply> {
  const { row, state } = await look(app, call, 'act');
  const feed = waiting.get(row.id);
  if (feed === undefined) {
    throw new Refusal([
      'No feed is waiting to be picked from.',
      '/shuttle load takes the zip file.',
    ]);
  }
  const today = localDay(state.zone, call.atMs);
  const stopId = meant(suggestStops(feed.listing, ''), feed.listing.stops, pick.stop, 'stop');
  const routeId = meant(
    suggestRoutes(feed.listing, stopId, ''),
    feed.listing.routes,
    pick.route,
    'route',
  );
  const direction =
    pick.direction === '0' || pick.direction === '1' ? Number(pick.direction) : undefined;
  const taken = await extractTimetable(feed.bytes, {
    stopId,
    routeId,
    ...(direction === undefined ? {} : { direction: direction as 0 | 1 }),
    from: addLocalDays(today, -DAYS_BACK),
    to: addLocalDays(today, DAYS_ON),
  });
  if (!taken.ok) throw new Refusal([sayRefusal(taken.refusal)]);
  const { timetable, notes } = taken.value;
  const reply = await keepShuttle(app, call, { name: pick.name, timetable });
  return { ...reply, lines: [...reply.lines, ...notes] };
}

/** By id, or by exact name where it is typed and not picked. */
function meant(
  offered: readonly Suggestion[],
  all: readonly { id: string; name: string }[],
  typed: string,
  what: string,
): string {
  const want = typed.trim().toLowerCase();
  const found = all.find((x) => x.id === typed) ?? all.find((x) => x.name.toLowerCase() === want);
  if (found !== undefined) return found.id;
  const names = offered.slice(0, 5).map((o) => o.name);
  throw new Refusal([`The feed has no ${what} ${typed}.`, `There is: ${names.join('; ')}.`]);
}

const withFeed =
  (offer: (listing: FeedListing, typed: string, others: RawArgs) => Suggestion[]): Suggest =>
  async (call, typed, app, others) => {
    const feed = waiting.get((await findRow(app, call)).id);
    return feed === undefined ? [] : offer(feed.listing, typed, others);
  };

const text = (value: unknown) => (typeof value === 'string' ? value : '');

export const suggestFeedStops = withFeed(suggestStops);
export const suggestFeedRoutes = withFeed((listing, typed, others) =>
  suggestRoutes(listing, text(others.stop), typed),
);
export const suggestFeedDirections = withFeed((listing, _typed, others) =>
  suggestDirections(listing, text(others.stop), text(others.route)),
);
