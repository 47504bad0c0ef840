import type { RawArgs, Suggest } from '../../src/app/command.ts';
import { findRow } from '../../src/record/trips.ts';
import type { FeedListing } from '../../src/timetable/gtfs/listing.ts';
import {
  type Suggestion,
  suggestDirections,
  suggestRoutes,
  suggestStops,
} from '../../src/timetable/gtfs/suggest.ts';

const withFeed =
  (offer: (listing: FeedListing, typed: string, others: RawArgs) => Suggestion[]): Suggest =>
  async (call, typed, app, others) => {
    const feed = app.feeds.of((await findRow(app, call)).id);
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
