import type { App } from '../../src/app/app.ts';
import type { Call, FileArg, RawArgs, Suggest } from '../../src/app/command.ts';
import { findRow, look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { dayMonth } from '../../src/time/format.ts';
import { addLocalDays, daysBetween, type LocalDay, localDay } from '../../src/time/zone.ts';
import { extractTimetable } from '../../src/timetable/gtfs/extract.ts';
import { GTFS_LIMITS } from '../../src/timetable/gtfs/limits.ts';
import { type FeedListing, listFeed } from '../../src/timetable/gtfs/listing.ts';
import { sayRefusal } from '../../src/timetable/gtfs/refusal.ts';
import {
  type Suggestion,
  suggestDirections,
  suggestRoutes,
  suggestStops,
} from '../../src/timetable/gtfs/suggest.ts';
import type { TripState } from '../../src/trip/state.ts';
import { keepShuttle } from './shuttle.ts';

/**
 * Feeds that were loaded and wait for a choice, newest last. Only in memory: what is chosen goes into
 * the trip, the feed itself needn't be kept; after a restart it is loaded once more.
 */
const waitingBy = new WeakMap<App, Map<string, { bytes: Uint8Array; listing: FeedListing }>>();
const WAITING_MAX = 4;
/** Of all feeds that wait together, besides the newest. */
const WAITING_BYTES = 64 * 2 ** 20;

function waitingIn(app: App) {
  const waiting = waitingBy.get(app) ?? new Map();
  waitingBy.set(app, waiting);
  return waiting;
}

/** Keeps a feed until it is picked from; the oldest give way. */
function keepFeed(app: App, trip: string, feed: { bytes: Uint8Array; listing: FeedListing }): void {
  const waiting = waitingIn(app);
  waiting.delete(trip);
  const others = () => [...waiting.values()].reduce((sum, f) => sum + f.bytes.length, 0);
  for (const old of waiting.keys()) {
    if (waiting.size < WAITING_MAX && others() + feed.bytes.length <= WAITING_BYTES) break;
    waiting.delete(old);
  }
  waiting.set(trip, feed);
}

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
  keepFeed(app, row.id, { bytes, listing: read.value });
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
  const feed = waitingIn(app).get(row.id);
  if (feed === undefined) {
    throw new Refusal([
      'No feed is waiting to be picked from.',
      '/shuttle load takes the zip file.',
    ]);
  }
  const span = daysTaken(state, call.atMs);
  const stopId = meant(suggestStops(feed.listing, ''), feed.listing.stops, pick.stop, 'stop');
  const routeId = meant(
    suggestRoutes(feed.listing, stopId, ''),
    feed.listing.routes,
    pick.route,
    'route',
  );
  const direction = directionMeant(
    suggestDirections(feed.listing, stopId, routeId),
    pick.direction,
  );
  const taken = await extractTimetable(feed.bytes, {
    stopId,
    routeId,
    ...(direction === undefined ? {} : { direction }),
    ...span,
  });
  if (!taken.ok) {
    const another = 'Nothing was changed. Another stop, route or direction may be picked.';
    throw new Refusal([sayRefusal(taken.refusal), another]);
  }
  const { timetable, notes } = taken.value;
  const reply = await keepShuttle(app, call, { name: pick.name, timetable });
  const until = `Taken up to ${dayMonth(span.to)} ${span.to.year}; for later days load it again.`;
  return { ...reply, lines: [...reply.lines, ...notes, until] };
}

/** Around today, or the first day of the trip where that is set. */
function daysTaken(state: TripState, nowMs: number): { from: LocalDay; to: LocalDay } {
  const today = localDay(state.zone, nowMs);
  const [year, month, day] = (state.settings.firstDay ?? '').split('-').map(Number);
  const first = year && month && day ? { year, month, day } : today;
  const start = daysBetween(today, first) > 0 ? first : today;
  return { from: addLocalDays(today, -DAYS_BACK), to: addLocalDays(start, DAYS_ON) };
}

/** By value or by what it is called. Where a route leaves both ways, the way home must be named. */
function directionMeant(
  offered: readonly Suggestion[],
  typed: string | undefined,
): 0 | 1 | undefined {
  const want = typed?.trim().toLowerCase();
  const found =
    want === undefined && offered.length <= 1
      ? offered[0]
      : offered.find((o) => o.value === want || o.name.toLowerCase() === want);
  if (found === undefined && offered.length > 0) {
    throw new Refusal([
      typed === undefined
        ? 'Which way? It leaves in both.'
        : `It doesn't leave in direction ${typed}.`,
      `There is: ${offered.map((o) => `${o.name} (direction:${o.value})`).join('; ')}.`,
    ]);
  }
  return found?.value === '0' ? 0 : found?.value === '1' ? 1 : undefined;
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
    const feed = waitingIn(app).get((await findRow(app, call)).id);
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
