import { ENGLISH, type Words } from '../say/contact/words.ts';
import type { Hours } from '../say/hours.ts';
import { bare } from '../say/message.ts';
import { conditionOf, onTheWall, openTroubles } from '../trip/conditions.ts';
import { atStance, openRetreat, stanceOf } from '../trip/kinds/retreat.ts';
import { whoWords } from '../trip/kinds/trouble.ts';
import { needsOf } from '../trip/kit.ts';
import type { KitGroup } from '../trip/kit-groups.ts';
import { isPastTop } from '../trip/mode.ts';
import { heardOfParts, isSplit } from '../trip/parts.ts';
import type { Person } from '../trip/people.ts';
import { currentPitch, present, type TripState } from '../trip/state.ts';
import type { LengthUnit } from '../trip/units.ts';
import type { AlarmPhase, PlanTime } from '../trip/watch-state.ts';
import { waterOf } from '../trip/water.ts';
import { lastSign } from './expectations.ts';
import { phaseNow } from './ladder.ts';
import { heardOf, timelineOf } from './sheet-heard.ts';
import { stanceIn } from './sheet-lines.ts';
import { contacts } from './who.ts';
import { type Home, whoIn } from './words/home.ts';
import { importedLines } from './words/imported.ts';
import { modeWords } from './words/mode.ts';
import { modeIn } from './words/mode-home.ts';
import { troubleLines } from './words/trouble.ts';

/** A person on the sheet. What was not given is absent. */
export interface SheetPerson {
  name: string;
  roles: readonly string[];
  age?: number;
  phone?: string;
  clothing?: string;
  medical?: string;
  /** As last told; left out where nothing but well was. */
  condition?: 'hurt' | 'unknown';
  /** Left the roster while the party was out, and nobody said that they are off the wall. */
  offRoster?: true;
}

/** Something that was told, as a line of the sheet. Times are epoch milliseconds. */
export interface SheetEntry {
  atMs: number;
  /** Later than `atMs` when it was told late. */
  toldMs: number;
  by: string;
  words: string;
}

/**
 * What a contact reads to the rescue service, as plain data: who, where, what they carry, what was
 * planned and what has happened. The fields are the union of published intentions forms and route
 * cards (NPS trip plan, NZ intentions, walkers' route cards, float plans). Nothing is guessed: what
 * was not given is absent.
 */
export interface Sheet {
  trip: string;
  name: string;
  zone: string;
  /** The clock that its times are written by. */
  hours: Hours;
  madeAtMs: number;
  /** The record's entry up to which it is true. */
  seq: number;
  phase?: AlarmPhase;
  emergencyNumber?: string;
  /** Who counts as up there. */
  party: readonly SheetPerson[];
  /** Troubles that stand, in lines to be read out. */
  troubles: readonly { words: readonly string[]; callout: boolean }[];
  ground: readonly SheetPerson[];
  contacts: readonly SheetPerson[];
  place: { name?: string; lat?: number; lon?: number };
  route: { pitches: number; lengthM: number; units: LengthUnit };
  lastKnown?: SheetEntry;
  /** Of a party in parts, what was last heard of each; the people by name. */
  parts?: readonly { who: string; stance?: string; heard?: SheetEntry }[];
  /** What they do, as last told, in one line. */
  mode: string;
  /** The last stance told of a retreat; 0 is the ground. */
  lastStance?: { pitch: number; atMs: number };
  /** Highest pitch told done or fixed. */
  highest?: { pitch: number; mark: 'done' | 'fixed' | 'started'; atMs: number; by: string };
  /** What they meant to do next: the pitch after it, or the way down. */
  next?: { pitch: number } | 'descent';
  plan: Partial<Record<PlanTime, number>>;
  nightly?: string;
  promises: readonly { dueMs: number; about?: string; of?: string }[];
  changes: readonly { what: PlanTime; fromMs: number; toMs?: number; atMs: number; by: string }[];
  departedAtMs?: number;
  details: TripState['watch']['details'];
  ropes: {
    leadLineM: number;
    haulLineM?: number;
    tagLineM?: number;
    haulBag: boolean;
    bagKg?: number;
  };
  /** What was told as packed of that which keeps people warm, seen and heard: names, with how many. */
  packed: readonly string[];
  /** Water left by the usual thirst, litres, and until when; left out where nobody told what they took. */
  water?: { leftL: number; untilMs: number };
  timeline: readonly SheetEntry[];
  /** Said where the record was opened from a file. */
  imported: readonly string[];
  called: readonly { atMs: number; by: string; words?: string }[];
}

/** The sheet of a trip as it stands at `nowMs`, in the words of a language. In English it has climbers' own terms. */
export function sheetOf(state: TripState, nowMs: number, w: Words = ENGLISH): Sheet {
  const { watch } = state;
  const h = { w, state, nowMs };
  const english = w.language === 'en';
  const sign = lastSign(state);
  const phase = phaseNow(state)?.phase;
  const highest = highestOf(state);
  const next = nextOf(state);
  const retreat = openRetreat(state);
  return {
    trip: state.id,
    name: state.name,
    zone: state.zone,
    hours: state.settings.hours,
    madeAtMs: nowMs,
    seq: state.seq,
    mode: english ? modeWords(state, nowMs) : bare(modeIn(h)),
    party: onTheWall(state).map((p) => climberOf(state, p)),
    troubles: openTroubles(state).map((t) => ({
      words: troubleLines(state, t, nowMs, w).map(bare),
      callout: t.calloutMs !== undefined,
    })),
    ground: people(present(state), 'ground'),
    contacts: contacts(state).map(personOf),
    place: state.place,
    route: {
      pitches: state.pitches.length,
      lengthM: state.pitches.reduce((sum, p) => sum + p.lengthM, 0),
      units: state.units,
    },
    plan: watch.plan,
    promises: watch.promises.map(({ dueMs, about, who }) => ({
      dueMs,
      ...given({ about, of: who && (english ? whoWords(state, who) : whoIn(w, state, who)) }),
    })),
    changes: watch.moved.map(({ seq: _, ...moved }) => moved),
    details: watch.details,
    ropes: {
      leadLineM: state.settings.leadLineM,
      haulBag: state.settings.haulBag,
      ...given({
        bagKg: state.settings.bagKg,
        haulLineM: state.settings.haulLineM,
        tagLineM: state.settings.tagLineM,
      }),
    },
    packed: packedOf(state),
    timeline: timelineOf(h),
    imported: english ? importedLines(state, nowMs) : importedIn(h),
    called: watch.called.map((c) => ({
      atMs: c.atMs,
      by: c.by.name,
      ...given({ words: c.words }),
    })),
    ...given({
      phase,
      emergencyNumber: state.emergencyNumber,
      nightly: watch.nightly?.clock,
      departedAtMs: state.departedAtMs,
      highest,
      next,
      lastStance: retreat && stanceOf(retreat),
      water: waterLeft(state, nowMs),
      parts: isSplit(state) ? partsFor(h) : undefined,
      lastKnown: sign && heardOf(h, sign),
    }),
  };
}

/** Groups of the kit that tell a rescue service how long people last, and how they are found. */
const VITAL: readonly KitGroup[] = ['shelter', 'clothes', 'light', 'safety'];
/** Things named: it is read out over a telephone. */
const PACKED_MAX = 12;

function packedOf(state: TripState): string[] {
  const needs = new Map(needsOf(state).map((n) => [n.name.toLowerCase(), n]));
  const all = [...state.kit].flatMap(([key, told]) => {
    const need = needs.get(key);
    const group = need?.group ?? told.group;
    if (!told.packed || told.off || group === undefined || !VITAL.includes(group)) return [];
    const amount = told.amount ?? need?.amount;
    return [{ group, words: amount === undefined ? told.name : `${told.name} ${amount}` }];
  });
  const ordered = VITAL.flatMap((group) => all.filter((t) => t.group === group));
  return ordered.slice(0, PACKED_MAX).map((t) => t.words);
}

function waterLeft(state: TripState, nowMs: number): Sheet['water'] {
  const { left, untilMs } = waterOf(state, nowMs);
  return left === undefined || untilMs === undefined ? undefined : { leftL: left, untilMs };
}

function partsFor(h: Home): NonNullable<Sheet['parts']> {
  const { w, state } = h;
  const at = (pitch: number) => (w.language === 'en' ? atStance(pitch) : stanceIn(w, pitch));
  return heardOfParts(state).map(({ who, sign }) => {
    const own = openRetreat(state, who);
    return {
      who: w.language === 'en' ? whoWords(state, who) : whoIn(w, state, who),
      ...given({
        stance: own && w.text('sheet.partStance', { stance: at(stanceOf(own).pitch) }),
        heard: sign && heardOf(h, sign),
      }),
    };
  });
}

function people(all: readonly Person[], role: 'climber' | 'ground'): SheetPerson[] {
  return all.filter((p) => p.roles.includes(role)).map(personOf);
}

function climberOf(state: TripState, person: Person): SheetPerson {
  const condition = conditionOf(state, person.id);
  return {
    ...personOf(person),
    ...(condition === 'hurt' || condition === 'unknown' ? { condition } : {}),
    ...(person.leftAtMs === undefined ? {} : { offRoster: true as const }),
  };
}

function personOf(person: Person): SheetPerson {
  const { name, roles, age, phone, clothing, medical } = person;
  return { name, roles, ...given({ age, phone, clothing, medical }) };
}

function importedIn({ w, state: { imported } }: Home): string[] {
  return imported === undefined ? [] : [w.text('page.imported', { by: imported.by.name })];
}

function highestOf(state: TripState): Sheet['highest'] {
  const pitch = state.pitches.findLast((p) => p.done ?? p.fixed ?? p.started);
  if (pitch === undefined) return undefined;
  for (const mark of ['done', 'fixed', 'started'] as const) {
    const told = pitch[mark];
    if (told === undefined) continue;
    return { pitch: pitch.number, mark, atMs: told.atMs, by: told.by.name };
  }
  return undefined;
}

function nextOf(state: TripState): Sheet['next'] {
  if (isPastTop(state) || openRetreat(state) !== undefined) return 'descent';
  const pitch = currentPitch(state);
  return pitch === undefined ? undefined : { pitch: pitch.number };
}

function given<T extends object>(fields: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(fields).filter(([, v]) => v !== undefined)) as never;
}
