import { clockTime } from '../../src/app/clock-time.ts';
import type { Args, Call, Options } from '../../src/app/command.ts';
import { toldTime } from '../../src/app/when.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { localDay } from '../../src/time/zone.ts';
import { dayKey } from '../../src/timetable/timetable.ts';
import type { TripState } from '../../src/trip/state.ts';
import { type LengthUnit, lengthText, toMetres } from '../../src/trip/units.ts';
import { ropesOf } from './ropes.ts';
import { bagOf, wayOf } from './ways.ts';

const clock = (description: string) => ({ type: 'string', description, maxLength: 10 }) as const;

/** Now a word of `ropes:`; still taken where it is typed. */
const older = (description: string) =>
  ({ type: 'number', description, hidden: true, old: true }) as const;

/** What can be set besides the trip's own facts. Ropes are in the trip's units. */
export const settingsOptions = {
  ropes: {
    type: 'string',
    description:
      'Like "lead 70 haul 60 tag none keep 5": ropes carried, and what a link keeps back',
    maxLength: 80,
  },
  lead_line: { ...older('Length of the lead line'), min: 20, max: 400 },
  lead_margin: { ...older('Rope kept back on a link'), min: 0, max: 100 },
  haul_line: { ...older('Length of the haul line'), min: 20, max: 660 },
  bag: {
    type: 'string',
    description: 'Haul bag: yes, no, or its weight, 35 kg or 77 lb',
    maxLength: 20,
  },
  haul_bag: { type: 'boolean', description: 'Whether a bag is hauled', hidden: true, old: true },
  bag_kg: { ...older('Weight of the bag, kg'), min: 0, max: 300 },
  portaledge_places: {
    type: 'integer',
    description: 'Places on the portaledges you carry; 0 for none',
    min: 0,
    max: 8,
  },
  approach_min: {
    type: 'integer',
    description: 'From departing to the first move, shuttle and walk-in, minutes; 0: not known',
    min: 0,
    max: 1440,
  },
  first_day: {
    type: 'string',
    description: 'First day of climbing: 2031-06-12, tomorrow, sat',
    maxLength: 20,
  },
  start: clock('When you start climbing each day, like 06:00'),
  stop: clock('No pitch is begun after this, like 21:00'),
  descent: {
    type: 'string',
    description:
      'From the top to the trailhead: 2h, or its way, "4 km, 650 down" or "2.5 mi, 2000 down"',
    maxLength: 60,
  },
  walk: {
    type: 'string',
    description: 'Walk out if the last shuttle has gone, like "11 km, 250 down"',
    maxLength: 60,
  },
  descent_min: { ...older('Way down, minutes'), min: 0, max: 2880 },
  descent_km: { ...older('Way down, km'), min: 0, max: 60 },
  descent_up: { ...older('Way down, up'), min: 0, max: 13200 },
  descent_down: { ...older('Way down, down'), min: 0, max: 13200 },
  walk_km: { ...older('Walk out, km'), min: 0, max: 100 },
  walk_up: { ...older('Walk out, up'), min: 0, max: 13200 },
  walk_down: { ...older('Walk out, down'), min: 0, max: 13200 },
  hours: {
    type: 'integer',
    description: 'Times are written by the 12 or the 24-hour clock',
    choices: [
      { name: '14:32', value: 24 },
      { name: '2:32 pm', value: 12 },
    ],
  },
  wet_hours: {
    type: 'integer',
    description: 'No climbing this long after rain: 24, 48 or 72',
    min: 0,
    max: 168,
  },
} as const satisfies Options;

type SettingsArgs = Args<typeof settingsOptions> & { units: LengthUnit | undefined };

/**
 * What was typed, as the settings hold it; undefined where nothing was.
 *
 * @throws Refusal for a rope, a day or a clock time that can't be
 */
export function settingsOf(state: TripState, call: Call, args: SettingsArgs) {
  const unit = args.units ?? state.units;
  return {
    leadLineM: lengthOf('lead_line', args.lead_line, unit),
    leadMarginM: lengthOf('lead_margin', args.lead_margin, unit),
    haulLineM: lengthOf('haul_line', args.haul_line, unit),
    haulBag: args.haul_bag,
    bagKg: args.bag_kg,
    portaledgePlaces: args.portaledge_places,
    approachMin: args.approach_min,
    firstDay: dayOf(state, call, args.first_day),
    startClock: clockOf('start', args.start),
    stopClock: clockOf('stop', args.stop),
    descentMin: args.descent_min,
    descentKm: args.descent_km,
    descentUpM: lengthOf('descent_up', args.descent_up, unit),
    descentDownM: lengthOf('descent_down', args.descent_down, unit),
    walkKm: args.walk_km,
    walkUpM: lengthOf('walk_up', args.walk_up, unit),
    walkDownM: lengthOf('walk_down', args.walk_down, unit),
    hours: args.hours,
    wetHours: args.wet_hours,
    // Whoever said so said another figure.
    wetSource: args.wet_hours === undefined ? undefined : null,
    wetRule: args.wet_hours === undefined ? undefined : null,
    ...ropesOf(args.ropes, unit),
    ...bagOf(args.bag, unit),
    ...descentOf(args.descent, unit),
    ...walkOf(args.walk, unit),
  };
}

/** A time given for the way down takes the place of its length, and the other way round. */
function descentOf(typed: string | undefined, unit: LengthUnit) {
  const way = wayOf('descent', typed, unit);
  if (way === undefined) return {};
  const { min = null, km = null, upM = null, downM = null } = way;
  return { descentMin: min, descentKm: km, descentUpM: upM, descentDownM: downM };
}

function walkOf(typed: string | undefined, unit: LengthUnit) {
  const way = wayOf('walk', typed, unit);
  if (way === undefined) return {};
  if (way.km === undefined) {
    throw new Refusal('unreadable-value', [
      'walk: is a length, as how long it takes depends on the hour.',
      `Like walk:"${unit === 'ft' ? '7 mi, 800 down' : '11 km, 250 down'}".`,
    ]);
  }
  const { km, upM = null, downM = null } = way;
  return { walkKm: km, walkUpM: upM, walkDownM: downM };
}

/** `tomorrow` becomes `2031-06-13`. */
function dayOf(state: TripState, call: Call, typed: string | undefined): string | undefined {
  if (typed === undefined) return undefined;
  const { atMs } = toldTime(state, call, `${typed.trim()} 12:00`, 'future');
  return dayKey(localDay(state.zone, atMs));
}

/** What a rope, and a way up or down, may measure, metres; as the settings hold it. */
const LENGTHS = {
  lead_line: [20, 120],
  lead_margin: [0, 30],
  haul_line: [20, 200],
  descent_up: [0, 4000],
  descent_down: [0, 4000],
  walk_up: [0, 4000],
  walk_down: [0, 4000],
} as const;

function lengthOf(
  name: keyof typeof LENGTHS,
  value: number | undefined,
  unit: LengthUnit,
): number | undefined {
  if (value === undefined) return undefined;
  const [leastM, mostM] = LENGTHS[name];
  const lengthM = toMetres(value, unit);
  if (lengthM >= leastM && lengthM <= mostM) return lengthM;
  const [least, most] = [leastM, mostM].map((m) => lengthText(m, unit));
  throw new Refusal(
    'out-of-range',
    `${name}: ${value} ${unit} can't be right; ${least} to ${most}.`,
  );
}

function clockOf(name: string, typed: string | undefined): string | undefined {
  return typed === undefined ? undefined : clockTime(name, typed, '06:00 or 6am');
}
