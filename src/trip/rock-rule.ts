import { ROCK_FACES, type RockFace } from './settings.ts';

/** One clause of a land manager's rule: hours without climbing after rain, and what they depend on. */
export interface RockClause {
  hours: number;
  /** The walls it is for; all where it is left out. */
  faces?: readonly RockFace[];
  /** First and last month, 1–12, over the turn of the year too; all of it where it is left out. */
  months?: readonly [from: number, to: number];
}

/** What a clause may not say, or that it can't be read: the clause as it was typed. */
export type Unread = { unread: string };

const MOST_H = 168;
const MONTH_NAMES = [
  ...['jan', 'feb', 'mar', 'apr', 'may', 'jun'],
  ...['jul', 'aug', 'sep', 'oct', 'nov', 'dec'],
] as const;
const FACE = /^(?:(north|south)[- ]?(east|west)?|(east|west)|([ns][ew]?|[ew]))$/u;
const LETTERS: Readonly<Record<string, string>> = { n: 'north', s: 'south', e: 'east', w: 'west' };

/**
 * Reads a rule as a notice says it: `36`, or `south 24, north 48`, `Nov–Mar 72, else 36`, `north and east 48, else 24`.
 * The figures are the notice's: nothing is computed from a face or a season.
 */
export function readRockRule(text: string): RockClause[] | Unread {
  const clauses = text
    .toLowerCase()
    .split(/[,;]/u)
    .map((c) => c.trim())
    .filter((c) => c !== '');
  const out: RockClause[] = [];
  for (const clause of clauses) {
    const read = readClause(clause);
    if (read === undefined) return { unread: clause };
    out.push(read);
  }
  return out.length === 0 ? { unread: text } : out;
}

function readClause(clause: string): RockClause | undefined {
  const [, on = '', figure = ''] = /^(?:(.+?)[ :]+)?(\d{1,3}) ?(?:h|hours?)?$/u.exec(clause) ?? [];
  const hours = figure === '' ? Number.NaN : Number(figure);
  if (!(hours >= 0 && hours <= MOST_H)) return undefined;
  if (on === '' || /^(else|otherwise|others?|any|all)$/u.test(on)) return { hours };
  const months = monthsOf(on);
  if (months !== undefined) return { hours, months };
  const faces = on
    .replace(/\b(faces?|facing|walls?)\b/gu, '')
    .split(/\band\b|\bor\b|[/+&]/u)
    .map((word) => faceOf(word.trim()));
  return faces.some((f) => f === undefined)
    ? undefined
    : { hours, faces: faces as readonly RockFace[] };
}

/** `north`, `NE`, `south-west`. */
function faceOf(word: string): RockFace | undefined {
  const [, ns, ew, only, letters = ''] = FACE.exec(word) ?? [];
  const name =
    letters === ''
      ? [ns, ew].filter(Boolean).join('-') || only
      : [...letters].map((l) => LETTERS[l]).join('-');
  return ROCK_FACES.find((face) => face === name);
}

function monthsOf(text: string): RockClause['months'] {
  const [, from, to = from] =
    /^([a-z]{3})[a-z]*(?: ?(?:-|–|to|until) ?([a-z]{3})[a-z]*)?$/u.exec(text) ?? [];
  const [a, b] = [from, to].map((m) => MONTH_NAMES.indexOf(m as (typeof MONTH_NAMES)[number]) + 1);
  return a === undefined || b === undefined || a === 0 || b === 0 ? undefined : [a, b];
}

/** Whether the rule asks which way the wall faces. */
export function asksFace(rule: readonly RockClause[]): boolean {
  return rule.some((clause) => clause.faces !== undefined);
}

/**
 * The hours of a rule for a wall and a month: the longest of the clauses that name either, else of those that name
 * nothing. Undefined where none of them is for this wall and month.
 *
 * @param month 1–12
 */
export function hoursBy(
  rule: readonly RockClause[],
  face: RockFace | undefined,
  month: number,
): number | undefined {
  const isNamed = ({ faces, months }: RockClause) => faces !== undefined || months !== undefined;
  const isFor = ({ faces, months }: RockClause) =>
    (faces === undefined || (face !== undefined && faces.includes(face))) &&
    (months === undefined || within(month, months));
  const named = rule.filter((c) => isNamed(c) && isFor(c));
  const meant = named.length > 0 ? named : rule.filter((c) => !isNamed(c));
  return meant.length === 0 ? undefined : Math.max(...meant.map((c) => c.hours));
}

function within(month: number, [from, to]: readonly [number, number]): boolean {
  return from <= to ? month >= from && month <= to : month >= from || month <= to;
}
