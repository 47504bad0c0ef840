/**
 * Free-climbing grades in three systems on one ladder of ranks, so that a pitch graded in one can be
 * held against a ceiling given in another. One rank is one row of the comparison table.
 *
 * Source: grade-comparison table of the open-source gclimbing-grades project (`mappings.cljs`), rows
 * 5.0 to 5.14d. A second published table (bluedome.co.uk, "climgrad") agrees on French and YDS from
 * 5.10a to 5.13b and differs by one step above and by up to one sub-step in UIAA; below 5.9 tables
 * disagree freely.
 */

/** Grading systems that can be read: Yosemite decimal, French, UIAA. */
export type GradeSystem = 'YDS' | 'French' | 'UIAA';

/** A free-climbing grade. */
export interface Grade {
  system: GradeSystem;
  /** As written, tidied: `5.10a`, `6b+`, `VII-`. */
  text: string;
  /** Position on the ladder; halves where a system is coarser than the table. */
  rank: number;
}

/** YDS, UIAA, French; one row a rank, easiest first. */
const TABLE: readonly (readonly [yds: string, uiaa: string, french: string])[] = [
  ['5.0', 'I', '1'],
  ['5.1', 'II', '2'],
  ['5.2', 'III', '3'],
  ['5.3', 'IV', '4'],
  ['5.4', 'IV+', '4+'],
  ['5.5', 'V-', '5a'],
  ['5.6', 'V', '5a'],
  ['5.7', 'V+', '5b'],
  ['5.8', 'VI-', '5b'],
  ['5.9', 'VI', '5c'],
  ['5.10a', 'VI+', '6a'],
  ['5.10b', 'VII-', '6a+'],
  ['5.10c', 'VII', '6b'],
  ['5.10d', 'VII+', '6b+'],
  ['5.11a', 'VII+/VIII-', '6c'],
  ['5.11b', 'VIII-', '6c+'],
  ['5.11c', 'VIII', '7a'],
  ['5.11d', 'VIII+', '7a+'],
  ['5.12a', 'VIII+/IX-', '7b'],
  ['5.12b', 'IX-', '7b+'],
  ['5.12c', 'IX', '7c'],
  ['5.12d', 'IX+', '7c+'],
  ['5.13a', 'IX+/X-', '8a'],
  ['5.13b', 'X-', '8a/8a+'],
  ['5.13c', 'X-', '8a+'],
  ['5.13d', 'X', '8b'],
  ['5.14a', 'X+', '8b+'],
  ['5.14b', 'X+/XI-', '8c'],
  ['5.14c', 'XI-', '8c+'],
  ['5.14d', 'XI', '9a'],
];

const COLUMN: Record<GradeSystem, 0 | 1 | 2> = { YDS: 0, UIAA: 1, French: 2 };

/** Spellings that people use for a row or for the middle of several. */
const ALIASES: Record<GradeSystem, Record<string, string>> = {
  French: { '5': '5b', '5-': '5a', '5+': '5c', '4a': '4', '4b': '4', '4c': '4+' },
  UIAA: { 'III-': 'III', 'III+': 'III', 'IV-': 'IV' },
  YDS: {},
};

/** Label → mean rank of the rows it stands in. */
const RANKS: ReadonlyMap<string, number> = new Map(
  (['YDS', 'UIAA', 'French'] as const).flatMap(meanRanks),
);

function meanRanks(system: GradeSystem): [string, number][] {
  const rows = new Map<string, number[]>();
  for (const [rank, row] of TABLE.entries()) {
    const label = row[COLUMN[system]];
    // Exact label first; halves of a slash label only where they have no row of their own.
    rows.set(label, [...(rows.get(label) ?? []), rank]);
  }
  for (const [rank, row] of TABLE.entries()) {
    const parts = row[COLUMN[system]].split('/');
    for (const part of parts) if (!rows.has(part)) rows.set(part, [rank]);
  }
  return [...rows].map(([label, ranks]) => [
    `${system} ${label}`,
    ranks.reduce((a, b) => a + b, 0) / ranks.length,
  ]);
}

const SHAPES: readonly (readonly [GradeSystem, RegExp])[] = [
  ['YDS', /^5\.\d{1,2}[a-d]?[+-]?(\/[a-d])?$/],
  ['UIAA', /^[ivx]{1,4}[+-]?(\/[ivx]{1,4}[+-]?)?$/],
  ['French', /^[1-9](?:[abc]\+?|[+-])?(\/[1-9][abc]?\+?)?$/],
];

/**
 * Reads a free grade: `5.10a`, `5.10`, `6b+`, `VII-`. Roman numerals are UIAA, a leading `5.` is YDS,
 * the rest French. Undefined when it is none of them or off the table.
 */
export function parseGrade(typed: string): Grade | undefined {
  const text = typed.trim().replaceAll('−', '-').replaceAll('–', '-').replaceAll(' ', '');
  const lower = text.toLowerCase();
  for (const [system, shape] of SHAPES) {
    if (!shape.test(lower)) continue;
    const label = system === 'UIAA' ? text.toUpperCase() : lower;
    const rank = rankOf(system, label);
    return rank === undefined ? undefined : { system, text: label, rank };
  }
  return undefined;
}

function rankOf(system: GradeSystem, label: string): number | undefined {
  const exact = RANKS.get(`${system} ${ALIASES[system][label] ?? label}`);
  if (exact !== undefined) return exact;
  if (system === 'YDS') return broadYds(label);
  const parts = label.split('/');
  if (parts.length !== 2) return undefined;
  const [low, high] = parts.map((part) => rankOf(system, part));
  return low === undefined || high === undefined ? undefined : (low + high) / 2;
}

/** `5.10` is the middle of a–d, `5.10-` of a and b, `5.10+` of c and d, `5.10a/b` of the two. */
function broadYds(label: string): number | undefined {
  const match = /^(5\.1[0-4])(?:([+-])|([a-d])\/([a-d]))?$/.exec(label);
  if (match === null) return undefined;
  const [, base, sign, from, to] = match;
  const letters = from !== undefined && to !== undefined ? [from, to] : LETTERS[sign ?? ''];
  const ranks = (letters ?? []).map((l) => RANKS.get(`YDS ${base}${l}`));
  if (ranks.some((r) => r === undefined)) return undefined;
  return (ranks as number[]).reduce((a, b) => a + b, 0) / ranks.length;
}

const LETTERS: Record<string, readonly string[]> = {
  '': ['a', 'b', 'c', 'd'],
  '-': ['a', 'b'],
  '+': ['c', 'd'],
};

/** The same difficulty in another system, by the table's nearest row (the harder when between two). */
export function convertGrade(grade: Grade, system: GradeSystem): string {
  const row = TABLE[Math.min(TABLE.length - 1, Math.round(grade.rank))];
  return (row as (typeof TABLE)[number])[COLUMN[system]];
}
