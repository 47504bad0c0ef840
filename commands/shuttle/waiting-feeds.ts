import type { App } from '../../src/app/app.ts';
import type { FeedListing } from '../../src/timetable/gtfs/listing.ts';

/** A feed that was read, with what can be picked from it. */
export interface Feed {
  bytes: Uint8Array;
  listing: FeedListing;
}

/**
 * Feeds that were loaded and wait for a choice, newest last. They are in memory only: what is chosen
 * goes into the trip. After a restart the feed is loaded once more.
 */
const waitingBy = new WeakMap<App, Map<string, Feed>>();
const WAITING_MAX = 4;
/** Of all feeds that wait together, besides the newest. */
const WAITING_BYTES = 64 * 2 ** 20;

function waitingIn(app: App): Map<string, Feed> {
  const waiting = waitingBy.get(app) ?? new Map<string, Feed>();
  waitingBy.set(app, waiting);
  return waiting;
}

/** The feed that waits for this trip's choice; undefined when none does. */
export function waitingFeed(app: App, trip: string): Feed | undefined {
  return waitingIn(app).get(trip);
}

/** Keeps a feed until it is picked from; the oldest give way. */
export function keepFeed(app: App, trip: string, feed: Feed): void {
  const waiting = waitingIn(app);
  waiting.delete(trip);
  const others = () => [...waiting.values()].reduce((sum, f) => sum + f.bytes.length, 0);
  for (const old of waiting.keys()) {
    if (waiting.size < WAITING_MAX && others() + feed.bytes.length <= WAITING_BYTES) break;
    waiting.delete(old);
  }
  waiting.set(trip, feed);
}
