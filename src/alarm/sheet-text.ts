import { timesIn } from '../say/hours.ts';
import { bare } from '../say/message.ts';
import { dayClock, dayMonth, duration, offset } from '../time/format.ts';
import { wallTime } from '../time/zone.ts';
import { stanceWords } from '../trip/kinds/retreat.ts';
import { lengthText, weightText } from '../trip/units.ts';
import type { AlarmPhase, PlanTime } from '../trip/watch-state.ts';
import type { Sheet, SheetEntry, SheetPerson } from './sheet.ts';

/** A heading of the sheet and the lines below it. */
export interface SheetSection {
  title: string;
  lines: string[];
}

/** What each agreed time is called on the sheet. */
export const PLAN_LABEL: Record<PlanTime, string> = {
  topoutMs: 'Top-out',
  downMs: 'Everyone down',
  calloutMs: 'Call-out time',
};

/** The sheet in sections, in the order in which a dispatcher asks; empty ones are left out. */
export function sheetSections(sheet: Sheet): SheetSection[] {
  const sections: SheetSection[] = [
    { title: 'Trouble', lines: sheet.troubles.flatMap(troubleText) },
    { title: 'Now', lines: nowLines(sheet) },
    { title: 'Who', lines: sheet.party.flatMap(personLines) },
    { title: 'Where', lines: whereLines(sheet) },
    { title: 'With them', lines: carryLines(sheet) },
    { title: 'Plan', lines: planLines(sheet) },
    {
      title: 'What was heard',
      lines: [...sheet.imported, ...sheet.timeline.map((e) => entryLine(sheet, e))],
    },
    { title: 'Numbers', lines: numberLines(sheet) },
  ];
  return sections
    .map(({ title, lines }) => ({ title, lines: lines.map(bare) }))
    .filter(({ lines }) => lines.length > 0);
}

/** The same as plain text, for a message, a mail or reading out. */
export function sheetText(sheet: Sheet): string {
  const head = [
    bare(`SHEET  ${sheet.name}`),
    `Made ${full(sheet, sheet.madeAtMs)}. All times are ${sheet.zone}.`,
    'For the contact to read to the rescue service. Private: pass it on for that only.',
  ];
  const body = sheetSections(sheet).flatMap(({ title, lines }) => [
    '',
    title.toUpperCase(),
    ...lines,
  ]);
  return timesIn(sheet.hours, `${[...head, ...body].join('\n')}\n`);
}

/** `12 Jun 2031 14:32 (+02:00)`: nothing left to guess. */
export function full(sheet: Pick<Sheet, 'zone'>, atMs: number): string {
  const wall = wallTime(sheet.zone, atMs);
  const two = (n: number) => String(n).padStart(2, '0');
  return `${dayMonth(wall)} ${wall.year} ${two(wall.hour)}:${two(wall.minute)} (${offset(wall)})`;
}

const short = (sheet: Sheet, atMs: number) => dayClock(sheet.zone, atMs, sheet.madeAtMs);

const OVERDUE: Readonly<Record<AlarmPhase, string>> = {
  due: 'a word is due, nothing heard',
  uncertainty: 'overdue; their contacts are asking after them',
  alert: 'overdue; nobody has reached them',
  distress: 'overdue; the time to call the rescue service has come',
};

function nowLines(sheet: Sheet): string[] {
  const { lastKnown, phase, called } = sheet;
  const size = sheet.party.length;
  return [
    `${size === 0 ? 'Party of unknown size' : `Party of ${size}`}${phase === undefined ? '' : `; ${sheet.troubles.length > 0 ? 'in trouble, as said above' : OVERDUE[phase]}`}.`,
    `As last told: ${sheet.mode}`,
    ...(sheet.parts === undefined ? heardLines(sheet, lastKnown) : partLines(sheet, sheet.parts)),
    ...called.map(
      (c) =>
        `Rescue service called by ${c.by} at ${short(sheet, c.atMs)}${c.words === undefined ? '' : `: ${c.words}`}.`,
    ),
  ];
}

function heardLines(sheet: Sheet, heard: SheetEntry | undefined): string[] {
  if (heard === undefined) return ['Nothing was heard from them yet.'];
  return [
    `Last heard ${full(sheet, heard.atMs)}, ` +
      `${duration((sheet.madeAtMs - heard.atMs) / 60_000)} before this sheet.`,
    `It was: ${heard.words}, from ${heard.by}.`,
  ];
}

function partLines(sheet: Sheet, parts: NonNullable<Sheet['parts']>): string[] {
  return [
    `They are in ${parts.length} parts, as last told.`,
    ...parts.flatMap(({ who, stance, heard }) => [
      `${who}${stance === undefined ? '' : ` (${stance})`}: ${heardLines(sheet, heard).join(' ')}`,
    ]),
  ];
}

const CONDITION = { hurt: 'hurt', unknown: 'not known how they are' } as const;

function troubleText({ words, callout }: Sheet['troubles'][number]): string[] {
  return [...(callout ? ['A call-out is wanted.'] : ['They say they cope.']), ...words];
}

function personLines(person: SheetPerson): string[] {
  const facts: [string, string | number | undefined][] = [
    ['condition', person.condition && CONDITION[person.condition]],
    [
      'roster',
      person.offRoster && 'taken off it while the party was out; not said to be off the wall',
    ],
    ['age', person.age],
    ['phone', person.phone],
    ['clothing', person.clothing],
    ['medical', person.medical],
  ];
  const told = facts.flatMap(([label, value]) =>
    value === undefined ? [] : [`${label} ${value}`],
  );
  return [
    `${person.name}${told.length === 0 ? ': nothing further given' : `: ${told.join('; ')}`}.`,
  ];
}

function whereLines(sheet: Sheet): string[] {
  const { place, route, highest, next, details, lastStance } = sheet;
  const position =
    place.lat === undefined || place.lon === undefined
      ? []
      : [`Position ${degrees(place.lat, 'N', 'S')} ${degrees(place.lon, 'E', 'W')} (WGS 84).`];
  return [
    ...(place.name === undefined ? [] : [`Wall: ${place.name}.`]),
    ...position,
    ...(route.pitches === 0
      ? []
      : [`Route: ${route.pitches} pitches, ${lengthText(route.lengthM, route.units)}.`]),
    ...(highest === undefined
      ? []
      : [
          `Highest point told: pitch ${highest.pitch} ${highest.mark} at ${short(sheet, highest.atMs)}, by ${highest.by}.`,
        ]),
    ...(lastStance === undefined
      ? []
      : [
          `Retreating; last stance told: ${stanceWords(lastStance.pitch)}, at ${short(sheet, lastStance.atMs)}.`,
        ]),
    ...(next === undefined
      ? []
      : [
          next === 'descent' ? 'Next planned: the way down.' : `Next planned: pitch ${next.pitch}.`,
        ]),
    ...labelled([
      ['Approach', details.approach],
      ['Ways off, bad weather', details.escape],
      ['Vehicle', details.vehicle],
      ['Parked', details.parked],
    ]),
  ];
}

/** `62.45000° N`: degrees with five decimals, about a metre. */
export function degrees(value: number, plus: string, minus: string): string {
  return `${Math.abs(value).toFixed(5)}° ${value < 0 ? minus : plus}`;
}

function carryLines(sheet: Sheet): string[] {
  const { details, ropes } = sheet;
  const bag = ropes.haulBag
    ? `, haul bag${ropes.bagKg === undefined ? '' : ` of ${weightText(ropes.bagKg, sheet.route.units)}`}`
    : '';
  const line = (name: string, m: number | undefined) =>
    m === undefined || m === 0 ? '' : `, ${name} line ${lengthText(m, sheet.route.units)}`;
  const lines = `${line('haul', ropes.haulLineM)}${line('tag', ropes.tagLineM)}`;
  return [
    `Lead line ${lengthText(ropes.leadLineM, sheet.route.units)}${lines}${bag}.`,
    ...labelled([
      ['Gear', details.gear],
      ['Food and water', details.food],
      ['Water left, by the usual thirst', waterWords(sheet)],
      ['Packed, as told', sheet.packed.length === 0 ? undefined : sheet.packed.join(', ')],
      ['Radio, beacon, lights', details.signalling],
      ['Also', details.notes],
    ]),
  ];
}

/** `about 6 l, until Fri 15:00`; none is said as none. */
function waterWords(sheet: Sheet): string | undefined {
  if (sheet.water === undefined) return undefined;
  const litres = Math.round(sheet.water.leftL);
  return litres === 0 ? 'none' : `about ${litres} l, until ${short(sheet, sheet.water.untilMs)}`;
}

function labelled(pairs: readonly (readonly [string, string | undefined])[]): string[] {
  return pairs.flatMap(([label, text]) => (text === undefined ? [] : [`${label}: ${text}`]));
}

function planLines(sheet: Sheet): string[] {
  const times = (Object.keys(PLAN_LABEL) as PlanTime[]).flatMap((what) => {
    const atMs = sheet.plan[what];
    return atMs === undefined ? [] : [`${PLAN_LABEL[what]} ${full(sheet, atMs)}.`];
  });
  return [
    ...(sheet.departedAtMs === undefined ? [] : [`Departed ${full(sheet, sheet.departedAtMs)}.`]),
    ...times,
    ...(sheet.nightly === undefined ? [] : [`Check-in every night at ${sheet.nightly}.`]),
    ...sheet.promises.map(
      (p) =>
        `Check-in promised${p.of === undefined ? '' : ` by ${p.of}`} for ${short(sheet, p.dueMs)}${p.about ? `: ${p.about}` : ''}.`,
    ),
    ...sheet.changes.map(
      (c) =>
        `Changed ${short(sheet, c.atMs)} by ${c.by}: ${PLAN_LABEL[c.what]} ${short(sheet, c.fromMs)} ` +
        `${c.toMs === undefined ? 'taken away' : `to ${short(sheet, c.toMs)}`}.`,
    ),
  ];
}

function entryLine(sheet: Sheet, entry: SheetEntry): string {
  const late = entry.toldMs - entry.atMs < 60_000 ? '' : `, told ${short(sheet, entry.toldMs)}`;
  return `${short(sheet, entry.atMs)}  ${entry.words} (${entry.by}${late})`;
}

function numberLines(sheet: Sheet): string[] {
  const line = (label: string, all: readonly SheetPerson[]) =>
    all.flatMap((p) => (p.phone === undefined ? [] : [`${label} ${p.name}: ${p.phone}`]));
  return [
    `Emergency: ${sheet.emergencyNumber ?? 'your local emergency number'}`,
    ...line('Party,', sheet.party),
    ...line('Ground crew,', sheet.ground),
    ...line('Contact,', sheet.contacts),
  ];
}
