import { ENGLISH, type Key, type Words } from '../say/contact/words.ts';
import { timesIn } from '../say/hours.ts';
import { bare } from '../say/message.ts';
import { duration, offset } from '../time/format.ts';
import { dayClockIn, dayMonthIn } from '../time/in-language.ts';
import { wallTime } from '../time/zone.ts';
import { lengthText, weightText } from '../trip/units.ts';
import type { PlanTime } from '../trip/watch-state.ts';
import type { Sheet, SheetEntry, SheetPerson } from './sheet.ts';

/** A heading of the sheet and the lines below it. */
export interface SheetSection {
  title: string;
  lines: string[];
}

/** What each agreed time is called on the sheet. */
export const PLAN_LABEL: Record<PlanTime, string> = {
  topoutMs: ENGLISH.text('sheet.topoutMs'),
  downMs: ENGLISH.text('sheet.downMs'),
  calloutMs: ENGLISH.text('sheet.calloutMs'),
};

/** The sheet in sections, in the order in which a dispatcher asks; empty ones are left out. `w` as it was made with. */
export function sheetSections(sheet: Sheet, w: Words = ENGLISH): SheetSection[] {
  const sections: SheetSection[] = [
    { title: w.text('sheet.hTrouble'), lines: sheet.troubles.flatMap((t) => troubleText(w, t)) },
    { title: w.text('sheet.hNow'), lines: nowLines(w, sheet) },
    { title: w.text('sheet.hWho'), lines: sheet.party.map((p) => personLine(w, p)) },
    { title: w.text('sheet.hWhere'), lines: whereLines(w, sheet) },
    { title: w.text('sheet.hCarry'), lines: carryLines(w, sheet) },
    { title: w.text('sheet.hPlan'), lines: planLines(w, sheet) },
    {
      title: w.text('sheet.hHeard'),
      lines: [...sheet.imported, ...sheet.timeline.map((e) => entryLine(w, sheet, e))],
    },
    { title: w.text('sheet.hNumbers'), lines: numberLines(w, sheet) },
  ];
  return sections
    .map(({ title, lines }) => ({ title, lines: lines.map(bare) }))
    .filter(({ lines }) => lines.length > 0);
}

/** The same as plain text, for a message, a mail or reading out. */
export function sheetText(sheet: Sheet, w: Words = ENGLISH): string {
  const head = [
    w.text('sheet.head', { name: sheet.name }),
    w.text('sheet.made', { when: full(sheet, sheet.madeAtMs, w), zone: sheet.zone }),
    w.text('sheet.private'),
  ];
  const body = sheetSections(sheet, w).flatMap(({ title, lines }) => [
    '',
    title.toUpperCase(),
    ...lines,
  ]);
  return timesIn(sheet.hours, `${[...head, ...body].join('\n')}\n`);
}

/** `12 Jun 2031 14:32 (+02:00)`: nothing left to guess. */
export function full(sheet: Pick<Sheet, 'zone'>, atMs: number, w: Words = ENGLISH): string {
  const wall = wallTime(sheet.zone, atMs);
  const two = (n: number) => String(n).padStart(2, '0');
  const day = `${dayMonthIn(w.language, wall)} ${wall.year}`;
  return `${day} ${two(wall.hour)}:${two(wall.minute)} (${offset(wall)})`;
}

const short = (w: Words, sheet: Sheet, atMs: number) =>
  dayClockIn(w.language, sheet.zone, atMs, sheet.madeAtMs);

function nowLines(w: Words, sheet: Sheet): string[] {
  const { lastKnown, phase, called, mode } = sheet;
  const n = sheet.party.length;
  const size = n === 0 ? w.text('sheet.partyUnknown') : w.text('sheet.partySize', { n });
  const how =
    sheet.troubles.length > 0 ? w.text('sheet.inTrouble') : phase && w.text(`sheet.${phase}`);
  return [
    `${size}${phase === undefined || how === undefined ? '' : `; ${how}`}.`,
    w.text('sheet.mode', { mode }),
    ...(sheet.parts === undefined
      ? heardLines(w, sheet, lastKnown)
      : partLines(w, sheet, sheet.parts)),
    ...called.map(({ by, atMs, words }) => {
      const call = { by, when: short(w, sheet, atMs) };
      return words === undefined
        ? w.text('sheet.called', call)
        : w.text('sheet.calledWords', { ...call, words });
    }),
  ];
}

function heardLines(w: Words, sheet: Sheet, heard: SheetEntry | undefined): string[] {
  if (heard === undefined) return [w.text('sheet.nothingHeard')];
  const ago = duration((sheet.madeAtMs - heard.atMs) / 60_000);
  return [
    w.text('sheet.lastHeard', { when: full(sheet, heard.atMs, w), ago }),
    w.text('sheet.itWas', { words: heard.words, by: heard.by }),
  ];
}

function partLines(w: Words, sheet: Sheet, parts: NonNullable<Sheet['parts']>): string[] {
  return [
    w.text('sheet.parts', { n: parts.length }),
    ...parts.map(({ who, stance, heard }) => {
      const told = { who, heard: heardLines(w, sheet, heard).join(' ') };
      return stance === undefined
        ? w.text('sheet.part', told)
        : w.text('sheet.partAt', { ...told, stance });
    }),
  ];
}

function troubleText(w: Words, { words, callout }: Sheet['troubles'][number]): string[] {
  return [w.text(callout ? 'sheet.wantsCall' : 'sheet.cope'), ...words];
}

function personLine(w: Words, person: SheetPerson): string {
  const { name, condition, offRoster, age, phone, clothing, medical } = person;
  const facts = [
    condition && w.text(condition === 'hurt' ? 'sheet.fHurt' : 'sheet.fUnknown'),
    offRoster && w.text('sheet.fOff'),
    age === undefined ? undefined : w.text('sheet.fAge', { age }),
    phone === undefined ? undefined : w.text('sheet.fPhone', { phone }),
    clothing === undefined ? undefined : w.text('sheet.fClothing', { text: clothing }),
    medical === undefined ? undefined : w.text('sheet.fMedical', { text: medical }),
  ].filter((one) => one !== undefined);
  return facts.length === 0
    ? w.text('sheet.nothingFurther', { name })
    : w.text('sheet.person', { name, facts: facts.join('; ') });
}

const MARKS = {
  done: 'sheet.highDone',
  fixed: 'sheet.highFixed',
  started: 'sheet.highStarted',
} as const;

function whereLines(w: Words, sheet: Sheet): string[] {
  const { place, route, highest, next, details, lastStance } = sheet;
  const { lat, lon, name } = place;
  return [
    ...(name === undefined ? [] : [w.text('sheet.wall', { name })]),
    ...(lat === undefined || lon === undefined
      ? []
      : [
          w.text('sheet.position', {
            lat: degrees(lat, 'N', 'S'),
            lon: degrees(lon, 'E', 'W'),
          }),
        ]),
    ...(route.pitches === 0
      ? []
      : [
          w.text('sheet.route', {
            n: route.pitches,
            length: lengthText(route.lengthM, route.units),
          }),
        ]),
    ...(highest === undefined
      ? []
      : [
          w.text(MARKS[highest.mark], {
            n: highest.pitch,
            when: short(w, sheet, highest.atMs),
            by: highest.by,
          }),
        ]),
    ...(lastStance === undefined
      ? []
      : [
          w.text('sheet.retreating', {
            stance: stanceIn(w, lastStance.pitch),
            when: short(w, sheet, lastStance.atMs),
          }),
        ]),
    ...(next === undefined
      ? []
      : [
          next === 'descent'
            ? w.text('sheet.nextDown')
            : w.text('sheet.nextPitch', { n: next.pitch }),
        ]),
    ...labelled(w, [
      ['sheet.approach', details.approach],
      ['sheet.escape', details.escape],
      ['sheet.vehicle', details.vehicle],
      ['sheet.parked', details.parked],
    ]),
  ];
}

/** `the stance after pitch 5`; 0 is the ground. */
export function stanceIn(w: Words, n: number): string {
  return n === 0 ? w.text('sheet.ground') : w.text('sheet.stance', { n });
}

/** `62.45000° N`: degrees with five decimals, about a metre. */
export function degrees(value: number, plus: string, minus: string): string {
  return `${Math.abs(value).toFixed(5)}° ${value < 0 ? minus : plus}`;
}

function carryLines(w: Words, sheet: Sheet): string[] {
  const { details, ropes } = sheet;
  const { units } = sheet.route;
  const m = (metres: number) => ({ m: lengthText(metres, units) });
  const { haulLineM = 0, tagLineM = 0, bagKg } = ropes;
  const all = [
    w.text('sheet.leadLine', m(ropes.leadLineM)),
    ...(haulLineM === 0 ? [] : [w.text('sheet.haulLine', m(haulLineM))]),
    ...(tagLineM === 0 ? [] : [w.text('sheet.tagLine', m(tagLineM))]),
    ...(ropes.haulBag
      ? [
          bagKg === undefined
            ? w.text('sheet.bag')
            : w.text('sheet.bagOf', { kg: weightText(bagKg, units) }),
        ]
      : []),
  ];
  return [
    `${all.join(', ')}.`,
    ...labelled(w, [
      ['sheet.gear', details.gear],
      ['sheet.food', details.food],
    ]),
    ...waterLines(w, sheet),
    ...labelled(w, [
      ['sheet.packed', sheet.packed.length === 0 ? undefined : sheet.packed.join(', ')],
      ['sheet.signalling', details.signalling],
      ['sheet.notes', details.notes],
    ]),
  ];
}

/** `about 6 l, until Fri 15:00`; none is said as none. */
function waterLines(w: Words, sheet: Sheet): string[] {
  if (sheet.water === undefined) return [];
  const litres = Math.round(sheet.water.leftL);
  const when = short(w, sheet, sheet.water.untilMs);
  return [litres === 0 ? w.text('sheet.waterNone') : w.text('sheet.water', { litres, when })];
}

type Labelled = Extract<
  Key,
  `sheet.${'approach' | 'escape' | 'vehicle' | 'parked' | 'gear' | 'food' | 'packed' | 'signalling' | 'notes'}`
>;

function labelled(
  w: Words,
  pairs: readonly (readonly [label: Labelled, text: string | undefined])[],
): string[] {
  return pairs.flatMap(([label, text]) => (text === undefined ? [] : [w.text(label, { text })]));
}

const TIMES: readonly PlanTime[] = ['topoutMs', 'downMs', 'calloutMs'];

function planLines(w: Words, sheet: Sheet): string[] {
  const what = (time: PlanTime) => w.text(`sheet.${time}`);
  return [
    ...(sheet.departedAtMs === undefined
      ? []
      : [w.text('sheet.departed', { when: full(sheet, sheet.departedAtMs, w) })]),
    ...TIMES.flatMap((time) => {
      const atMs = sheet.plan[time];
      return atMs === undefined
        ? []
        : [w.text('sheet.planned', { what: what(time), when: full(sheet, atMs, w) })];
    }),
    ...(sheet.nightly === undefined ? [] : [w.text('sheet.nightly', { at: sheet.nightly })]),
    ...sheet.promises.map(({ of: who, dueMs, about }) => {
      const when = short(w, sheet, dueMs);
      if (who === undefined) {
        return about
          ? w.text('sheet.promiseAbout', { when, about })
          : w.text('sheet.promise', { when });
      }
      return about
        ? w.text('sheet.promiseOfAbout', { who, when, about })
        : w.text('sheet.promiseOf', { who, when });
    }),
    ...sheet.changes.map((c) => {
      const change = {
        at: short(w, sheet, c.atMs),
        by: c.by,
        what: what(c.what),
        from: short(w, sheet, c.fromMs),
      };
      return c.toMs === undefined
        ? w.text('sheet.movedAway', change)
        : w.text('sheet.moved', { ...change, to: short(w, sheet, c.toMs) });
    }),
  ];
}

function entryLine(w: Words, sheet: Sheet, { atMs, toldMs, words, by }: SheetEntry): string {
  const entry = { when: short(w, sheet, atMs), words, by };
  return toldMs - atMs < 60_000
    ? w.text('sheet.entry', entry)
    : w.text('sheet.entryTold', { ...entry, told: short(w, sheet, toldMs) });
}

function numberLines(w: Words, sheet: Sheet): string[] {
  const lines = (
    key: 'sheet.numParty' | 'sheet.numGround' | 'sheet.numContact',
    all: readonly SheetPerson[],
  ) =>
    all.flatMap(({ name, phone }) => (phone === undefined ? [] : [w.text(key, { name, phone })]));
  return [
    w.text('sheet.emergency', { number: sheet.emergencyNumber ?? w.text('emergency.none') }),
    ...lines('sheet.numParty', sheet.party),
    ...lines('sheet.numGround', sheet.ground),
    ...lines('sheet.numContact', sheet.contacts),
  ];
}
