import type { FeedListing } from './listing.ts';

/** A choice in an autocomplete list; Discord takes 25 of them with names of 100 characters. */
export interface Suggestion {
  name: string;
  value: string;
}

const MOST = 25;
const NAME_LENGTH = 100;

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

/** Directions in which a route leaves a stop: value `0`, `1`, or `any` where the feed has none. */
export function suggestDirections(
  listing: FeedListing,
  stopId: string,
  routeId: string,
): Suggestion[] {
  const stop = listing.stops.findIndex(({ id }) => id === stopId);
  const route = listing.routes.findIndex(({ id }) => id === routeId);
  return listing.calls
    .filter((call) => call.stop === stop && call.route === route)
    .map(({ direction, headsigns }) => {
      const value = direction === undefined ? 'any' : String(direction);
      const fallback = direction === undefined ? 'As it comes' : `Direction ${value}`;
      return { name: shorten(headsigns.join(' / ') || fallback), value };
    })
    .sort((a, b) => a.value.localeCompare(b.value));
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
