import type { KitGroup } from './kit-groups.ts';
import { climbers, type TripState } from './state.ts';
import { modeOf } from './topo.ts';
import { lengthText } from './units.ts';

/** How warm it will be: what a person drinks a day hangs on it. */
export type Heat = 'cold' | 'mild' | 'hot';

/**
 * Litres a person and day on a wall: 3–4, more when it is hot (alpinesavvy.com, big wall water tips); in hot canyons
 * about a US gallon of 3.8 l (US National Park Service, by us-parks.com). Hot is the upper end, cold the lower.
 */
export const LITRES_A_DAY: Readonly<Record<Heat, number>> = { cold: 3, mild: 3.5, hot: 4 };
/** Food, kg a person and day: 1.5–2.5 lb (outdoors.nordling.de), its middle. */
export const FOOD_KG_A_DAY = 0.9;
/** Fuel, grams of gas a person and night: from memory, change it to your own. */
const FUEL_G = 60;

/** Who goes for how long, as the plan has it. */
export interface Outing {
  people: number;
  days: number;
  nights: number;
  heat: Heat;
}

/** A thing that is needed: how much of it, in its unit, and its weight in the haul bag. */
export interface Need {
  name: string;
  group: KitGroup;
  amount?: number;
  unit: 'l' | 'kg' | 'g' | '';
  /** Kilograms in the bag, of all of it; 0 is worn or racked. */
  bagKg: number;
}

/** How long the plan has them out. */
export function outingOf(state: TripState): Outing {
  const nights = state.bivyPlan.length;
  return {
    people: Math.max(1, climbers(state).length || 2),
    days: nights + 1,
    nights,
    heat: state.settings.heat ?? 'mild',
  };
}

/** Litres that so many drink in so many days. */
export function litresFor({ people, days, heat }: Outing): number {
  return people * days * LITRES_A_DAY[heat];
}

/**
 * What the trip needs, group by group. Water and food by published figures; weights of things and most of the list
 * are common practice, no source, and each can be set or taken off.
 */
export function needsOf(state: TripState): Need[] {
  const outing = outingOf(state);
  return [
    ...rackNeeds(state, outing),
    ...ropeNeeds(state),
    ...haulNeeds(state, outing),
    ...shelterNeeds(state, outing),
    ...waterNeeds(outing),
    ...cookingNeeds(outing),
    ...personalNeeds(outing),
  ];
}

/** Weight of the bag, kg: what is hauled of it all, as told or as needed. */
export function bagKgOf(state: TripState, needs: readonly Need[] = needsOf(state)): number {
  return needs.reduce((sum, need) => {
    const told = state.kit.get(need.name.toLowerCase());
    if (told?.off === true) return sum;
    const share =
      told?.amount === undefined || !need.amount ? 1 : told.amount / Math.max(need.amount, 1e-9);
    return sum + need.bagKg * share;
  }, 0);
}

const one =
  (group: KitGroup) =>
  (name: string, amount?: number, bagKg = 0): Need => ({
    name,
    group,
    ...(amount === undefined ? {} : { amount }),
    unit: '',
    bagKg,
  });

/** The rack by the topo: aid asks for aiders and ascenders, hard aid for hooks, hammered aid for pitons. */
function rackNeeds(state: TripState, { people }: Outing): Need[] {
  const rack = one('rack');
  const { pitches } = state;
  const aid = pitches.filter((p) => modeOf(p) === 'aid' || p.either === true);
  const hardest = Math.max(0, ...aid.map((p) => p.aid?.rank ?? 0));
  const hammered = aid.some((p) => p.aid?.text.toUpperCase().startsWith('A') && p.aid.rank >= 2);
  const longestM = Math.max(0, ...pitches.map((p) => p.lengthM));
  return [
    rack('Cams, sets', hardest >= 2 ? 3 : aid.length > 0 ? 2 : 1),
    rack('Nuts, sets', hardest >= 2 ? 2 : 1),
    // One every four metres of the longest pitch, ten at least: common practice, no source.
    rack('Quickdraws and slings', Math.max(10, Math.ceil(longestM / 4))),
    rack('Locking carabiners', 4 * people),
    rack('Belay and rappel devices', people),
    rack('Prusik loops', people),
    rack('Anchor slings or cord', 3),
    rack('Harness, helmet, shoes', people),
    ...(aid.length === 0
      ? []
      : [
          rack('Aiders, pairs', people),
          rack('Daisy chains, pairs', people),
          rack('Ascenders, pairs', Math.max(1, people - 1)),
          rack('Gloves, pairs', people),
        ]),
    ...(hardest >= 2 ? [rack('Hooks', 3), rack('Cam hooks', 2)] : []),
    ...(hammered ? [rack('Hammer', 1), rack('Pitons', Math.round(5 * hardest))] : []),
  ];
}

function ropeNeeds({ settings: s, units }: TripState): Need[] {
  const ropes = one('ropes');
  return [
    ropes(`Lead line ${lengthText(s.leadLineM, units)}`, 1),
    ...(s.haulLineM ? [ropes(`Haul line ${lengthText(s.haulLineM, units)}`, 1)] : []),
    ...(s.tagLineM ? [ropes(`Tag line ${lengthText(s.tagLineM, units)}`, 1)] : []),
    ropes('Knife', 1),
  ];
}

function haulNeeds({ settings }: TripState, { people, nights }: Outing): Need[] {
  if (!settings.haulBag && nights === 0) return [];
  const haul = one('haul');
  const bags = Math.max(1, Math.ceil((people * (nights + 1)) / 8));
  return [
    haul('Haul bags', bags, 3 * bags),
    haul('Hauling pulleys, one spare', 2),
    haul('Docking lines', bags),
    haul('Swivels', bags),
  ];
}

function shelterNeeds(state: TripState, { people, nights }: Outing): Need[] {
  if (nights === 0) return [];
  const shelter = one('shelter');
  const hangs = state.bivyPlan.some((n) => state.pitches[n - 1]?.bivy === 'portaledge');
  const ledges = Math.ceil(people / 2);
  return [
    ...(hangs
      ? [shelter('Portaledges for two, with fly', ledges, 8 * ledges)]
      : [shelter('Sleeping mats', people, 0.5 * people)]),
    shelter('Sleeping bags', people, 1.2 * people),
    shelter('Bivy sacks or a tarp', people, 0.5 * people),
    shelter('Ear plugs', people),
  ];
}

function waterNeeds(outing: Outing): Need[] {
  const litres = litresFor(outing);
  const food = outing.people * outing.days * FOOD_KG_A_DAY;
  return [
    // A litre weighs a kilogram.
    { name: 'Water', group: 'water', amount: litres, unit: 'l', bagKg: litres },
    { name: 'Food', group: 'water', amount: Math.round(food * 10) / 10, unit: 'kg', bagKg: food },
    one('water')('Bottles of 2 l', Math.ceil(litres / 2), 0.05 * litres),
  ];
}

function cookingNeeds({ people, nights }: Outing): Need[] {
  if (nights === 0) return [];
  const cooking = one('cooking');
  const fuel = people * nights * FUEL_G;
  return [
    cooking('Stove, hanging', 1, 0.5),
    { name: 'Gas', group: 'cooking', amount: fuel, unit: 'g', bagKg: (fuel / 1000) * 1.6 },
    cooking('Lighters', 2),
    cooking('Pot', 1, 0.3),
    cooking('Mugs', people, 0.1 * people),
    cooking('Spoons', people),
  ];
}

/** What each brings, the first aid and the papers. */
function personalNeeds({ people, days, nights }: Outing): Need[] {
  const [clothes, light, safety, papers] = [
    one('clothes'),
    one('light'),
    one('safety'),
    one('papers'),
  ];
  return [
    clothes('Rain shells', people, 0.4 * people),
    clothes('Warm layers', people, 0.6 * people),
    clothes('Hats and warm gloves', people, 0.2 * people),
    light('Headlamps', people),
    light('Headlamp batteries, spare sets', people * Math.max(1, nights)),
    light('Radios', 2),
    light('Radio batteries, spare sets', Math.max(1, nights)),
    light('Phones, charged', people),
    ...(nights === 0 ? [] : [light('Power bank', 1, 0.4)]),
    safety('First aid', 1, 0.6),
    safety('Tape, finger and repair', 1),
    safety('Sun cream', 1),
    safety('Waste bags', people * days),
    ...(nights === 0 ? [] : [safety('Waste tube', 1, 0.5)]),
    papers('Topo, two copies', 2),
    papers('Shuttle times', 1),
    papers('Emergency numbers and call-out time', 1),
    papers('Permit, where one is needed', 1),
  ];
}
