import { ENGLISH, type Words } from '../say/contact/words.ts';
import { timesIn } from '../say/hours.ts';
import { bare } from '../say/message.ts';
import { duration, offset } from '../time/format.ts';
import { dayMonthIn } from '../time/in-language.ts';
import { wallTime } from '../time/zone.ts';
import type { PlanTime } from '../trip/watch-state.ts';
import type { Sheet, SheetEntry, SheetPerson } from './sheet.ts';
import { carryLines, short, whereLines } from './sheet-lines.ts';

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
