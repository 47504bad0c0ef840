import type { OptionsOf, PressOf } from '../say/press.ts';
import { Refusal } from '../say/refusal.ts';
import type { Button, Line } from '../say/reply.ts';
import { findZone } from '../time/find-zone.ts';
import { clocksAgree, zonesAt } from '../time/zone-at.ts';

/** What was typed to open a trip, as far as a button can carry it. */
export type Typed = {
  readonly [K in Exclude<keyof OptionsOf<'trip open'>, 'record'>]?:
    | OptionsOf<'trip open'>[K]
    | undefined;
};

export interface ChosenZone {
  zone: string;
  /** What is worth saying about the choice. */
  lines: readonly Line[];
}

interface Place {
  lat?: number;
  lon?: number;
}

/** More zones than this are named as examples, without buttons. */
const CHOICES = 9;
/** A chat may allow 100 characters for all a button carries; beyond that, the names are typed. */
const CARRIED = 85;

/**
 * The wall's zone, from what was typed for it or else from the coordinates. Undefined when there is neither.
 *
 * @throws Refusal that names the zones it may be, when there isn't exactly one
 */
export function chooseZone(typed: Typed, place: Place, nowMs: number): ChosenZone | undefined {
  const said = typed.zone;
  const here =
    place.lat === undefined || place.lon === undefined
      ? undefined
      : zonesAt(place.lat, place.lon, nowMs);
  if (said !== undefined) return saidZone(said, typed, here, nowMs);
  return here === undefined ? undefined : zoneOfPlace(here, typed);
}

function saidZone(
  said: string,
  typed: Typed,
  here: readonly string[] | undefined,
  nowMs: number,
): ChosenZone {
  const found = findZone(said);
  const likely = (zone: string) => here?.some((h) => clocksAgree(h, zone, nowMs)) ?? true;
  if (found.ok) {
    const far = here !== undefined && here.length > 0 && !likely(found.zone);
    return { zone: found.zone, lines: far ? [elsewhere(here)] : [] };
  }
  // Of several that are meant, the coordinates know better which.
  const [zone, ...same] = here === undefined ? [] : found.may.filter(likely);
  if (zone !== undefined && same.every((other) => clocksAgree(zone, other, nowMs))) {
    return { zone, lines: [] };
  }
  throw notOne(said, found.why, found.may, typed);
}

function elsewhere(here: readonly string[]): string {
  return `By the coordinates clocks there show another time (${here.join(', ')}): are lat and lon right, with their signs?`;
}

function zoneOfPlace(here: readonly string[], typed: Typed): ChosenZone {
  const [zone, second] = here;
  if (zone === undefined) {
    throw new Refusal('no-such-choice', [
      'These coordinates lie at sea, or where no zone is known. Are lat and lon right, with their signs?',
      ['Or name the zone too, like ', { code: 'zone:Europe/Oslo' }],
    ]);
  }
  if (second !== undefined) {
    throw new Refusal(
      'no-such-choice',
      [
        `Near these coordinates clocks differ, and our map of zones is coarse: ${here.join(', ')}.`,
        ['Name the one the wall keeps: ', { code: `zone:${zone}` }],
      ],
      choices(here, typed),
    );
  }
  return {
    zone,
    lines: [
      [
        `Zone from the coordinates: ${zone}. Another one: `,
        { code: '/trip close' },
        ', then open it with ',
        { code: 'zone:' },
      ],
    ],
  };
}

function notOne(
  said: string,
  why: 'several' | 'offset' | 'unknown',
  may: readonly string[],
  typed: Typed,
): Refusal {
  if (why === 'offset') {
    return new Refusal('no-such-choice', [
      `${said} isn't a zone of the tz database but an offset, which knows no clock changes.`,
      ['Name a big city with the same clock, like ', { code: 'zone:Oslo' }],
    ]);
  }
  if (why === 'unknown') {
    return new Refusal('no-such-choice', [
      `${said} isn't a zone of the tz database.`,
      'They look like Europe/Oslo or America/Los_Angeles. A big city with the same clock will do, or lat: and lon: alone.',
    ]);
  }
  const shown = may.slice(0, CHOICES);
  return new Refusal(
    'no-such-choice',
    [
      may.length === 1
        ? `${said}: is ${shown[0]} meant?`
        : `${said} may mean several zones: ${shown.join(', ')}${may.length > CHOICES ? ' and more' : ''}.`,
      ['Name the one the wall keeps: ', { code: `zone:${shown[0]}` }],
    ],
    choices(shown, typed),
  );
}

/** A button a zone, each with all else that was typed; none when that is too much for one. */
function choices(zones: readonly string[], typed: Typed): Button[] {
  const presses = zones.map((zone) => carrying(typed, zone));
  return presses.some((press) => press === undefined)
    ? []
    : presses.flatMap((press, i) =>
        press === undefined ? [] : [{ label: zones[i] ?? '', press }],
      );
}

/** The same command with this zone and all else that was typed; undefined when it is too much. */
function carrying(typed: Typed, zone: string): PressOf<'trip open'> | undefined {
  const options: OptionsOf<'trip open'> = Object.fromEntries(
    Object.entries({ ...typed, zone }).filter(([, value]) => value !== undefined),
  );
  const length = Object.entries(options).reduce(
    (n, [name, v]) => n + name.length + 2 + `${v}`.length,
    0,
  );
  return length <= CARRIED ? { path: 'trip open', options } : undefined;
}

/** Asks for the name alone; the rest stays as it was typed. */
export function nameButton(typed: Typed, zone: string): Button[] {
  const press = carrying(typed, zone);
  if (press === undefined) return [];
  return [
    {
      label: 'Name it',
      press,
      ask: {
        title: 'What is the trip called?',
        fields: [{ name: 'name', label: 'Name', placeholder: 'like Our wall' }],
      },
    },
  ];
}
