/** A trip for the watch's tests: Mara, Jonas and Ines climb, Greta and Pål are below, Dana is at home. */
import type { Fact } from '../../src/trip/fact.ts';
import { fold } from '../../src/trip/fold.ts';
import type { TripState } from '../../src/trip/state.ts';

/** 2031-06-12 06:00 in Oslo (UTC+2): the first morning of the invented climb. */
export const DAWN_MS = Date.UTC(2031, 5, 12, 4, 0);
export const MINUTE = 60_000;
export const HOUR = 60 * MINUTE;

export interface Told {
  kind: string;
  data?: object;
  /** When it happened; when it was told unless given. */
  at?: number;
  /** When it was told; counts up from dawn when left out. */
  told?: number;
  by?: string;
}

/** Collects events in the order of telling and folds them. */
export class Story {
  readonly trip: string;
  readonly events: Fact[] = [];

  constructor(trip = 'tr1p0001') {
    this.trip = trip;
  }

  tell(...all: Told[]): this {
    for (const { kind, data = {}, at, told, by = 'Mara' } of all) {
      const seq = this.events.length + 1;
      const recordedAtMs = told ?? at ?? this.events.at(-1)?.recordedAtMs ?? DAWN_MS - HOUR;
      this.events.push({
        trip: this.trip,
        seq,
        id: `${this.trip}-e${seq}`,
        kind,
        atMs: at ?? recordedAtMs,
        recordedAtMs,
        by: { id: `u-${by.toLowerCase()}`, name: by },
        data,
      } as Fact);
    }
    return this;
  }

  strike(seq: number, told: number): this {
    return this.tell({ kind: 'log.struck', data: { target: `${this.trip}-e${seq}` }, told });
  }

  get state(): TripState {
    return fold(this.trip, this.events);
  }
}

const person = (name: string, fields: object): Told => ({
  kind: 'roster.added',
  data: { id: name.toLowerCase(), fields: { name, userId: `u-${name.toLowerCase()}`, ...fields } },
});

export const PEOPLE: Told[] = [
  person('Mara', { roles: ['climber'], phone: '+47 000 01', age: 34, clothing: 'red jacket' }),
  person('Jonas', { roles: ['climber'], phone: '+47 000 02', medical: 'asthma' }),
  person('Ines', { roles: ['climber'] }),
  person('Greta', { roles: ['ground'], phone: '+47 000 03' }),
  person('Dana', { roles: ['contact'], email: 'dana@example.org', order: 1, phone: '+47 000 04' }),
  {
    kind: 'roster.added',
    data: {
      id: 'pal',
      fields: { name: 'Pål', roles: ['ground', 'contact'], email: 'pal@example.org', order: 2 },
    },
  },
];

/** Opened, with people, eight pitches and the emergency number; not departed. */
export function opened(trip?: string): Story {
  return new Story(trip).tell(
    {
      kind: 'trip.opened',
      data: {
        name: 'Harrow Tower',
        zone: 'Europe/Oslo',
        place: { name: 'Lantern Gorge', lat: 62.1, lon: 6.9 },
        units: 'm',
        confidence: 0.9,
        emergencyNumber: '112',
      },
    },
    ...PEOPLE,
    {
      kind: 'topo.loaded',
      data: {
        pitches: Array.from({ length: 8 }, (_, i) => ({
          number: i + 1,
          lengthM: 40,
          stance: 'ledge',
          bivy: 'none',
          rappel: true,
        })),
      },
    },
  );
}

/** Departed at dawn; down by 22:00, call-out time 02:00 of the next day. */
export function departed(trip?: string): Story {
  return opened(trip).tell(
    {
      kind: 'watch.planned',
      data: { downMs: DAWN_MS + 16 * HOUR, calloutMs: DAWN_MS + 20 * HOUR },
    },
    { kind: 'trip.departed', at: DAWN_MS },
  );
}
