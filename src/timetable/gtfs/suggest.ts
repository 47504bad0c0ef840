import type { FeedCall, FeedListing } from './listing.ts';

/** A choice in an autocomplete list; Discord takes 25 of them with names of 100 characters. */
export interface Suggestion {
  name: string;
  value: string;
}

const MOST = 25;
const NAME_LENGTH = 100;
/** Of the signs in front of one direction, so many name it. */
const SIGNS_NAMED = 3;

/** Stops whose name fits what is typed, those that begin with it first. */
export function suggestStops(listing: FeedListing, typed: string): Suggestion[] {
  return ranked(
    listing.stops.map(({ id, name }) => ({ name, value: id })),
    typed,
  );
}

/** Routes that leave a stop. */
export function suggestRoutes(listing: FeedListing, stopId: string, typed: string): Suggestion[] {
  const stop = listing.stops.findIndex(({ id }) => id === stopId);
  const indices = new Set(
    listing.calls.filter((call) => call.stop === stop).map(({ route }) => route),
  );
  const routes = [...indices].map((index) => listing.routes[index]!);
  return ranked(
    routes.map(({ id, name }) => ({ name, value: id })),
    typed,
  );
}

/** A way in which a route leaves a stop, and which of its trips go that way: all, where nothing more is said. */
export interface Way extends Suggestion {
  /** The feed's own `direction_id`. */
  direction?: 0 | 1;
  /** What the vehicles say in front, where the feed has no directions. */
  headsign?: string;
}

/** The ways in which a route leaves a stop, as they are offered. */
export function suggestDirections(
  listing: FeedListing,
  stopId: string,
  routeId: string,
): Suggestion[] {
  return waysOf(listing, stopId, routeId).map(({ name, value }) => ({ name, value }));
}

/**
 * The ways in which a route leaves a stop. With a direction the value is `0` or `1`. Where the feed has none, each sign
 * in front is a way; the value `any` is all of them.
 */
export function waysOf(listing: FeedListing, stopId: string, routeId: string): Way[] {
  const stop = listing.stops.findIndex(({ id }) => id === stopId);
  const route = listing.routes.findIndex(({ id }) => id === routeId);
  const calls = listing.calls.filter((call) => call.stop === stop && call.route === route);
  const alone = calls.length === 1;
  return calls
    .flatMap((call) => (call.direction === undefined ? bySign(call, alone) : byDirection(call)))
    .sort(
      (a, b) =>
        Number(a.value === 'any') - Number(b.value === 'any') || a.value.localeCompare(b.value),
    );
}

function byDirection({ direction, headsigns }: FeedCall): Way[] {
  if (direction === undefined) return [];
  const name = headsigns.slice(0, SIGNS_NAMED).join(' / ') || `Direction ${direction}`;
  return [{ name: shorten(name), value: String(direction), direction }];
}

function bySign({ headsigns }: FeedCall, alone: boolean): Way[] {
  const [only, ...more] = headsigns;
  if (only === undefined || (alone && more.length === 0)) {
    return [{ name: shorten(only ?? 'As it comes'), value: 'any' }];
  }
  const each = headsigns.map((headsign) => {
    const name = shorten(headsign);
    return { name, value: name, headsign };
  });
  return [...each, { name: 'All of them', value: 'any' }];
}

function ranked(all: Suggestion[], typed: string): Suggestion[] {
  const wanted = fold(typed);
  const rank = (name: string) => {
    const folded = fold(name);
    if (folded.startsWith(wanted)) return 0;
    return folded.includes(` ${wanted}`) ? 1 : folded.includes(wanted) ? 2 : 3;
  };
  return all
    .map((each) => ({ ...each, rank: rank(each.name) }))
    .filter((each) => each.rank < 3)
    .sort((a, b) => a.rank - b.rank || a.name.localeCompare(b.name))
    .slice(0, MOST)
    .map(({ name, value }) => ({ name: shorten(name), value }));
}

/** Lower case and without accents, so that "pal" finds "Pål". */
function fold(text: string): string {
  return text.trim().normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
}

function shorten(text: string): string {
  return text.length > NAME_LENGTH ? `${text.slice(0, NAME_LENGTH - 1)}…` : text;
}
