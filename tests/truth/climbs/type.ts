/**
 * A climb somebody published, as data: facts only. Times are the wall's own clock; `+1 16:00` is the day after the
 * first. What a page doesn't say isn't filled in, with two exceptions that hold for all: a pitch without a length is
 * `UNKNOWN_M` long, and where only a duration is told, the clock starts at `start` and `startGuessed` says so.
 *
 * Left out: climbs on which the party moved together, or without a rope, for most of the route (that is another way
 * of climbing), and those whose page doesn't tell how many pitches there were.
 */
export interface PublishedClimb {
  id: string;
  /** Where it can be read. Undefined: told of a public report whose address was not kept; such climbs aren't scored. */
  source?: string;
  /** Climbs of one party are kept together when one is left out. */
  party: string;
  /**
   * What the party would have answered to "how fast are you?": from what the page tells of the people, not from their
   * times. `efficient`: practised at going fast; `first`: first wall, or first time together on one.
   */
  class: 'efficient' | 'average' | 'first';
  kind: 'free' | 'aid';
  people: number;
  /** Weight of the haul bag, kg; `true` where a bag was hauled and nobody says how heavy. */
  bag?: number | true;
  zone: string;
  /** `2031-` and this: the day of the year decides on daylight. Mid-season where the page gives none. */
  day: string;
  lat: number;
  lon: number;
  start: string;
  startGuessed?: true;
  pitches: PublishedPitch[];
  /** When a pitch was done, as told; the last one is the end of what is known. */
  told: { pitch: number; at: string }[];
  /** When the party went on in the morning; nights were spent after the pitch told before. */
  mornings?: string[];
  /** What was read into the page. */
  note?: string;
}

/** A pitch as its page or its topo has it. */
export interface PublishedPitch {
  m?: number;
  free?: string;
  aid?: string;
  /** Climbed in one lead with the next. */
  link?: true;
}

/** Length of a pitch where no page tells it, m: the middle of 30–40 (Wikipedia, "Pitch (climbing)"). */
export const UNKNOWN_M = 35;

/** So many pitches alike. */
export function alike(count: number, pitch: PublishedPitch = {}): PublishedPitch[] {
  return Array.from({ length: count }, () => pitch);
}

export const YOSEMITE = { zone: 'America/Los_Angeles', lat: 37.74, lon: -119.57 } as const;
export const RED_ROCK = { zone: 'America/Los_Angeles', lat: 36.05, lon: -115.47 } as const;
export const ZION = { zone: 'America/Denver', lat: 37.27, lon: -112.95 } as const;
export const CASCADES = { zone: 'America/Los_Angeles', lat: 48.2, lon: -121.5 } as const;
export const SQUAMISH = { zone: 'America/Vancouver', lat: 49.68, lon: -123.15 } as const;
