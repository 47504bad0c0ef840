import type { FeedListing } from '../timetable/gtfs/listing.ts';

/** A feed that was read, with what can be picked from it. */
export interface Feed {
  bytes: Uint8Array;
  listing: FeedListing;
}

const WAITING_MAX = 4;
/** Of all feeds that wait together, besides the newest. */
const WAITING_BYTES = 64 * 2 ** 20;

/**
 * Feeds that were loaded and wait for a choice, newest last. They are in memory only: what is chosen
 * goes into the trip. After a restart the feed is loaded once more.
 */
export class WaitingFeeds {
  readonly #byTrip = new Map<string, Feed>();

  /** The feed that waits for this trip's choice; undefined when none does. */
  of(trip: string): Feed | undefined {
    return this.#byTrip.get(trip);
  }

  /** Keeps a feed until it is picked from; the oldest give way. */
  keep(trip: string, feed: Feed): void {
    const waiting = this.#byTrip;
    waiting.delete(trip);
    const others = () => [...waiting.values()].reduce((sum, f) => sum + f.bytes.length, 0);
    for (const old of waiting.keys()) {
      if (waiting.size < WAITING_MAX && others() + feed.bytes.length <= WAITING_BYTES) break;
      waiting.delete(old);
    }
    waiting.set(trip, feed);
  }
}
