import { LIMITS } from '../../src/limits.ts';
import { quote } from '../../src/time/duration.ts';
import { parseAid } from '../../src/trip/aid.ts';
import { parseGrade } from '../../src/trip/grade.ts';
import type { PitchData, Stance } from '../../src/trip/topo.ts';
import { LENGTH_UNITS, type LengthUnit, lengthText, toMetres } from '../../src/trip/units.ts';

/** A value, or what is wrong with it, to follow on the typed text: `"9z" isn't a length…`. */
export type Cell<T> = { value: T } | { problem: string };

const problem = (text: string) => ({ problem: text });

function numberIn(text: string): number {
  return /^[+-]?\d+([.,]\d+)?$/.test(text) ? Number(text.replace(',', '.')) : Number.NaN;
}

/** A pitch number: whole, from 1. */
export function numberCell(text: string): Cell<number> {
  const value = numberIn(text);
  if (!Number.isInteger(value) || value < 1) return problem("isn't a whole number from 1");
  return value > LIMITS.pitches ? problem(`is more than ${LIMITS.pitches} pitches`) : { value };
}

/** How each unit of length is written behind a figure, in lower case. */
const WRITTEN: Readonly<Record<LengthUnit, readonly string[]>> = {
  m: ['m'],
  ft: ['ft', 'feet', "'"],
};

/** A length, with or without its unit: `38`, `38 m`, `125ft`. Metres come out. */
export function lengthCell(text: string, unit: LengthUnit): Cell<number> {
  const match = /^([\d.,]+)\s*([^\d\s]\D*)?$/.exec(text);
  const figure = numberIn(match?.[1] ?? '');
  if (Number.isNaN(figure)) return problem("isn't a length like 38 or 125 ft");
  const named = match?.[2]?.toLowerCase();
  const own = named === undefined ? unit : LENGTH_UNITS.find((u) => WRITTEN[u].includes(named));
  if (own === undefined) return problem("isn't a length like 38 or 125 ft");
  const value = toMetres(figure, own);
  if (value <= 0) return problem('is no length');
  if (value > LIMITS.pitchLengthM) {
    return problem(`is longer than any pitch here (${lengthText(LIMITS.pitchLengthM, unit)})`);
  }
  return { value };
}

/** `5.12a or C1`: free or on aid, as whoever leads chooses. Undefined for a text without a choice. */
export function eitherCell(text: string): Cell<{ free: string; aid: string }> | undefined {
  const [, one = '', other = ''] = /^(.+?)\s+or\s+(.+)$/iu.exec(text.trim()) ?? [];
  if (other === '') return undefined;
  const [free, aid] = parseAid(one) === undefined ? [one, other] : [other, one];
  const [freeGrade, aidGrade] = [freeCell(free), aidCell(aid)];
  if ('problem' in freeGrade || 'problem' in aidGrade)
    return problem("isn't a free grade or an aid grade, like 5.12a or C1");
  return { value: { free: freeGrade.value, aid: aidGrade.value } };
}

export function freeCell(text: string): Cell<string> {
  const grade = parseGrade(text);
  return grade === undefined
    ? problem("isn't a free grade known here (5.10a, 6b+, VII-)")
    : { value: grade.text };
}

export function aidCell(text: string): Cell<string> {
  const grade = parseAid(text);
  return grade === undefined ? problem("isn't an aid grade (A0–A5, C0–C5)") : { value: grade.text };
}

export function stanceCell(text: string): Cell<Stance> {
  const word = text.toLowerCase();
  if (/^semi([ -]?hanging)?$/u.test(word)) return { value: 'semi' };
  return word === 'ledge' || word === 'hanging'
    ? { value: word }
    : problem("isn't ledge, semi or hanging");
}

export interface Bivy {
  bivy: 'none' | 'ledge' | 'portaledge';
  places?: number;
}

/** `none`, `portaledge`, `ledge`, or `ledge 3` for three who can lie down. */
export function bivyCell(text: string): Cell<Bivy> {
  const match = /^(none|no|ledge|portaledge)(?:\s*[+x]?\s*(\d{1,2})(?:\s*places?)?)?$/i.exec(text);
  if (match === null) return problem("isn't none, portaledge, or ledge with its places (ledge 3)");
  const word = match[1]?.toLowerCase();
  const bivy = word === 'no' ? 'none' : (word as Bivy['bivy']);
  if (match[2] === undefined) return { value: { bivy } };
  const places = placesCell(match[2]);
  return 'problem' in places ? places : { value: { bivy, places: places.value } };
}

export function placesCell(text: string): Cell<number> {
  const value = numberIn(text);
  return Number.isInteger(value) && value >= 1 && value <= 20
    ? { value }
    : problem("isn't a number of people, 1 to 20");
}

export function yesNoCell(text: string): Cell<boolean> {
  const word = text.toLowerCase();
  if (['yes', 'y', 'true', '1'].includes(word)) return { value: true };
  if (['no', 'n', 'false', '0'].includes(word)) return { value: false };
  return problem("isn't yes or no");
}

/** Yes or no, or why no rope goes back over the pitch; `unknown` and `?` are the same as an empty cell. */
export function rappelCell(text: string): Cell<PitchData['rappel']> {
  const word = text.toLowerCase();
  if (['unknown', 'not known', '?'].includes(word)) return { value: undefined };
  if (word === 'traverse') return { value: word };
  if (/^(roof|overhang)$/u.test(word)) return { value: 'roof' };
  const cell = yesNoCell(text);
  return 'value' in cell ? cell : problem("isn't yes, no, unknown, traverse or roof");
}

export function minutesCell(text: string): Cell<number> {
  const value = numberIn(text);
  return value > 0 && value <= 1440 ? { value } : problem("isn't minutes, 1 to 1440");
}

export function noteCell(text: string): Cell<string> {
  return text.length <= LIMITS.noteLength
    ? { value: text }
    : problem(`is longer than ${LIMITS.noteLength} characters`);
}

/** One mistake: where, what was typed, what is wrong with it. */
export function mistake(where: string, typed: string, wrong: string): string {
  return `${where}: "${quote(typed)}" ${wrong}`;
}
