import { dayClock } from '../../time/format.ts';
import type { KitThing } from '../../trip/kinds/kit.ts';
import { bagKgOf, type Need, needsOf, outingOf } from '../../trip/kit.ts';
import { KIT_GROUP_NAMES, KIT_GROUPS, type KitGroup } from '../../trip/kit-groups.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import { weightText } from '../../trip/units.ts';
import { shortFor, waterOf } from '../../trip/water.ts';

/** A line of the kit: what is needed, or a thing of their own, and what was told of it. */
export interface KitLine {
  name: string;
  group: KitGroup;
  need?: Need;
  told?: KitThing;
}

/** The whole kit, group by group: what is needed, then their own things. */
export function kitLines(state: TripState): KitLine[] {
  const needs = needsOf(state);
  const ours = new Set(needs.map((n) => n.name.toLowerCase()));
  const own = [...state.kit].filter(([key, thing]) => !ours.has(key) && !thing.off);
  const all: KitLine[] = [
    ...needs.map((need): KitLine => {
      const told = state.kit.get(need.name.toLowerCase());
      return { name: need.name, group: need.group, need, ...(told === undefined ? {} : { told }) };
    }),
    ...own.map(([, told]): KitLine => ({ name: told.name, group: told.group ?? 'rack', told })),
  ];
  return KIT_GROUPS.flatMap((group) =>
    all.filter((l) => l.group === group && l.told?.off !== true),
  );
}

/** `21 l`, `5.4 kg`, `3`: as told, else as needed; weights in the trip's unit. */
export function amountText({ units }: TripState, { need, told }: KitLine): string {
  const amount = told?.amount ?? need?.amount;
  if (amount === undefined) return '';
  const unit = need?.unit ?? '';
  if (unit === 'kg') return weightText(amount, units);
  return `${Math.round(amount * 10) / 10}${unit === '' ? '' : ` ${unit}`}`;
}

/** `Mara brings, Jonas carries`. */
export function whoWords(state: TripState, told: KitThing | undefined): string {
  return [
    told?.brings === undefined ? '' : `${nameOf(state, told.brings)} brings`,
    told?.carries === undefined ? '' : `${nameOf(state, told.carries)} carries`,
  ]
    .filter(Boolean)
    .join(', ');
}

const count = (n: number, word: string) => `${n} ${word}${n === 1 ? '' : 's'}`;

/** `3 climbers, 2 days, 1 night, mild: 21 l of water, 5.4 kg of food, bag about 38 kg.` */
export function outingWords(state: TripState): string {
  const outing = outingOf(state);
  const needs = needsOf(state);
  const amount = (name: string) => needs.find((n) => n.name === name)?.amount ?? 0;
  const bag = weightText(Math.round(bagKgOf(state, needs)), state.units);
  const food = weightText(amount('Food'), state.units);
  const who = `${count(outing.people, 'climber')}, ${count(outing.days, 'day')}, ${count(outing.nights, 'night')}, ${outing.heat}`;
  return `${who}: ${amount('Water')} l of water, ${food} of food, bag about ${bag}.`;
}

/** `Water: 18 of 21 l packed. One more day: short by 13 l.` */
export function packedWaterWords(state: TripState, nowMs: number): string {
  const water = waterOf(state, nowMs);
  if (water.packed === undefined) return `Water: ${water.needed} l needed, nothing told as packed.`;
  const now = shortFor(water, 0) ?? 0;
  const more = shortFor(water, 1) ?? 0;
  const short = now > 0 ? ` Short by ${rounded(now)} l.` : '';
  const day = more > 0 ? `short by ${rounded(more)} l` : 'enough';
  return `Water: ${rounded(water.packed)} of ${rounded(water.needed)} l packed.${short} One more day: ${day}.`;
}

/** `Water: about 9 l left of 21, until Sat 10:00 at 10.5 l a day.` Unknown is said as unknown. */
export function leftWaterWords(state: TripState, nowMs: number): string {
  const { left, packed, aDay, untilMs, short = 0 } = waterOf(state, nowMs);
  if (packed === undefined) return 'Water: not known, nobody told what was packed (/kit).';
  if (left === undefined || untilMs === undefined) return packedWaterWords(state, nowMs);
  if (left < 0.5) return `Water: none left by the usual ${aDay} l a day of ${rounded(packed)} l.`;
  const until = dayClock(state.zone, untilMs, nowMs);
  return `Water: about ${rounded(left)} l left of ${rounded(packed)}, until ${until} at ${aDay} l a day${
    short < 0.5 ? '' : `; for the days planned short by ${rounded(short)} l`
  }.`;
}

const rounded = (litres: number) => Math.round(litres * 2) / 2;

/** `Rack 3/9`: packed of all, a group a cell. */
export function groupCounts(
  lines: readonly KitLine[],
): { group: KitGroup; packed: number; all: number }[] {
  return KIT_GROUPS.flatMap((group) => {
    const own = lines.filter((l) => l.group === group);
    const packed = own.filter((l) => l.told?.packed === true).length;
    return own.length === 0 ? [] : [{ group, packed, all: own.length }];
  });
}

/** The list as a file, to be printed or sent on: a box, the thing, how much, who. */
export function kitFile(state: TripState, lines: readonly KitLine[]): string {
  const out = [state.name, outingWords(state), ''];
  let group: KitGroup | undefined;
  for (const line of lines) {
    if (line.group !== group) out.push('', KIT_GROUP_NAMES[line.group]);
    group = line.group;
    const amount = amountText(state, line);
    const who = whoWords(state, line.told);
    out.push(
      `[${line.told?.packed === true ? 'x' : ' '}] ${line.name}${amount === '' ? '' : `: ${amount}`}${who === '' ? '' : ` (${who})`}`,
    );
  }
  out.push('', ...KIT_SOURCES);
  return `${out.join('\n')}\n`;
}

/** Where the figures are from. */
export const KIT_SOURCES = [
  'Water: 3–4 l a person and day on a wall (alpinesavvy.com, big wall water tips), about 4 l in heat (us-parks.com, from the US National Park Service).',
  'Food: 1.5–2.5 lb a person and day (outdoors.nordling.de). Gas and weights: from memory, change them to your own.',
  'The list: common practice, no source.',
] as const;
