import { Refusal } from '../../src/say/refusal.ts';
import type { FeedListing } from '../../src/timetable/gtfs/listing.ts';
import {
  type Suggestion,
  suggestRoutes,
  suggestStops,
  type Way,
  waysOf,
} from '../../src/timetable/gtfs/suggest.ts';

interface Typed {
  stop: string;
  route: string;
  direction?: string | undefined;
}

interface Picked {
  stopId: string;
  routeId: string;
  /** The feed's own `direction_id`; left out where the route has none. */
  direction?: 0 | 1;
  /** Where it has none: what the vehicles say in front. */
  headsign?: string;
}

/** The stop, route and direction that are meant by what was typed. */
export function pickedFrom(listing: FeedListing, typed: Typed): Picked {
  const stopId = meant(suggestStops(listing, ''), listing.stops, typed.stop, 'stop');
  const routeId = meant(suggestRoutes(listing, stopId, ''), listing.routes, typed.route, 'route');
  const way = wayMeant(waysOf(listing, stopId, routeId), typed.direction);
  return {
    stopId,
    routeId,
    ...(way?.direction === undefined ? {} : { direction: way.direction }),
    ...(way?.headsign === undefined ? {} : { headsign: way.headsign }),
  };
}

/** By id, or by name where it is typed and not picked: all of it, or words that no other has. */
function meant(
  offered: readonly Suggestion[],
  all: readonly { id: string; name: string }[],
  typed: string,
  what: string,
): string {
  const want = typed.trim().toLowerCase();
  // `Gorge line` of `G Gorge line`, where no other has these words.
  const within = all.filter((x) => ` ${x.name.toLowerCase()} `.includes(` ${want} `));
  const found =
    all.find((x) => x.id === typed) ??
    all.find((x) => x.name.toLowerCase() === want) ??
    (want !== '' && within.length === 1 ? within[0] : undefined);
  if (found !== undefined) return found.id;
  const names = offered.slice(0, 5).map((o) => o.name);
  throw new Refusal('no-such-choice', [
    `The feed has no ${what} ${typed}.`,
    ...(names.length === 0 ? [] : [`There is: ${names.join('; ')}.`]),
  ]);
}

/** By value or by what it is called. Where a route leaves more ways than one, the way home must be named. */
function wayMeant(offered: readonly Way[], typed: string | undefined): Way | undefined {
  const want = typed?.trim().toLowerCase();
  const found =
    want === undefined && offered.length <= 1
      ? offered[0]
      : offered.find((o) => o.value.toLowerCase() === want || o.name.toLowerCase() === want);
  if (found === undefined && offered.length > 0) {
    throw new Refusal(typed === undefined ? 'needs-value' : 'no-such-choice', [
      typed === undefined
        ? 'Which way? It leaves in more than one.'
        : `It doesn't leave in direction ${typed}.`,
      `There is: ${offered.map((o) => `${o.name} (direction:${o.value})`).join('; ')}.`,
    ]);
  }
  return found;
}
