import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { convertGrade, type Grade, type GradeSystem, parseGrade } from '../../src/trip/grade.ts';

/**
 * Published table: gclimbing-grades (GitHub, gpietr/gclimbing-grades, `mappings.cljs` and
 * `misc/grades_mapping_complete.csv`), columns Grade (YDS), UIAA, French, rows 5.0 to 5.14d.
 */
const PUBLISHED: readonly (readonly [yds: string, uiaa: string, french: string])[] = [
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

/** Second published table: bluedome.co.uk, "climgrad"; French, YDS, UIAA of its rows. */
const SECOND: readonly (readonly [french: string, yds: string, uiaa: string | undefined])[] = [
  ['4', '5.5', 'IV'],
  ['4+', '5.6', 'IV+'],
  ['5-', '5.7', 'V+'],
  ['5', '5.8', 'VI-'],
  ['6a', '5.10a', 'VI+'],
  ['6a+', '5.10b', 'VI+/VII-'],
  ['6b', '5.10c', 'VII-'],
  ['6b+', '5.10d', 'VII'],
  ['6c', '5.11a', 'VII+'],
  ['6c+', '5.11b', 'VIII-'],
  ['7a', '5.11c', 'VIII'],
  ['7a+', '5.11d', 'VIII/VIII+'],
  ['7b', '5.12a', 'VIII+'],
  ['7b+', '5.12b', 'IX-'],
  ['7c', '5.12c', 'IX-'],
  ['7c+', '5.12d', 'IX'],
  ['8a', '5.13a', 'IX+'],
  ['8a+', '5.13b', 'X-'],
  ['8b', '5.13c', 'X'],
  ['8b+', '5.13d', 'X+'],
  ['8c', '5.14a', undefined],
  ['8c+', '5.14b', undefined],
];

const must = (text: string): Grade => {
  const grade = parseGrade(text);
  if (grade === undefined) throw new Error(`not read: ${text}`);
  return grade;
};
const SYSTEMS = ['YDS', 'UIAA', 'French'] as const;
const cell = (row: (typeof PUBLISHED)[number], system: GradeSystem) => row[SYSTEMS.indexOf(system)];

describe('the published table, every conversion of every row', () => {
  const cases = PUBLISHED.flatMap((row) =>
    SYSTEMS.flatMap((from) => SYSTEMS.map((to) => [cell(row, from), from, to, row] as const)),
  );
  it.each(cases)('%s (%s) in %s', (label, from, to, row) => {
    const grade = must(label as string);
    expect(grade).toMatchObject({ system: from, text: label });
    // A label that stands in two rows converts to either of them.
    const rows = PUBLISHED.filter((other) => cell(other, from) === label);
    expect(rows.map((other) => cell(other, to))).toContain(convertGrade(grade, to));
    if (rows.length === 1) expect(convertGrade(grade, to)).toBe(cell(row, to));
  });

  test('ranks climb row by row in every system', () => {
    for (const system of SYSTEMS) {
      const ranks = PUBLISHED.map((row) => must(cell(row, system) as string).rank);
      expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
    }
    expect(PUBLISHED.map(([yds]) => must(yds).rank)).toEqual(PUBLISHED.map((_, i) => i));
  });
});

describe('the second published table', () => {
  const between = (low: string, high: string) => ({ low: must(low).rank, high: must(high).rank });

  test('agrees on French and YDS from 5.10a to 5.13a, and within a step on 5.13b', () => {
    const { low, high } = between('5.10a', '5.13a');
    for (const [french, yds] of SECOND) {
      const { rank } = must(yds);
      if (rank >= low && rank <= high) expect(convertGrade(must(yds), 'French')).toBe(french);
    }
    expect(Math.abs(must('8a+').rank - must('5.13b').rank)).toBeLessThanOrEqual(1);
  });

  test('gives a French grade a YDS one step lower from 5.13c up: the first table lags by one', () => {
    const { low } = between('5.13c', '5.13c');
    for (const [french, yds] of SECOND) {
      if (must(yds).rank < low) continue;
      expect(must(french).rank - must(yds).rank).toBe(1);
    }
  });

  test('is within one sub-step in UIAA from 5.10a up, and disagrees freely below 5.9', () => {
    const off = SECOND.flatMap(([, yds, uiaa]) =>
      uiaa === undefined ? [] : [[yds, must(uiaa).rank - must(yds).rank] as const],
    );
    for (const [yds, steps] of off) {
      if (must(yds).rank >= must('5.10a').rank) expect(Math.abs(steps)).toBeLessThanOrEqual(1);
    }
    expect(Object.fromEntries(off)).toMatchObject({
      '5.5': -2,
      '5.6': -2,
      '5.10c': -1,
      '5.11b': 0,
    });
  });
});

describe('as people write them', () => {
  it.each([
    ['5.10A', 'YDS', '5.10a'],
    [' 6B+ ', 'French', '6b+'],
    ['vii−', 'UIAA', 'VII-'],
    ['VII –', 'UIAA', 'VII-'],
    ['viii+/ix-', 'UIAA', 'VIII+/IX-'],
    ['8a/8a+', 'French', '8a/8a+'],
    ['5.10', 'YDS', '5.10'],
    ['5.11-', 'YDS', '5.11-'],
    ['5.12+', 'YDS', '5.12+'],
    ['5.10b/c', 'YDS', '5.10b/c'],
    ['6a/6a+', 'French', '6a/6a+'],
    ['5', 'French', '5'],
    ['5+', 'French', '5+'],
  ])('%s is %s %s', (typed, system, text) => {
    expect(parseGrade(typed)).toMatchObject({ system, text });
  });

  test('a broad grade lies in the middle of what it covers', () => {
    const rank = (text: string) => must(text).rank;
    expect(rank('5.10')).toBe((rank('5.10b') + rank('5.10c')) / 2);
    expect(rank('5.10-')).toBe((rank('5.10a') + rank('5.10b')) / 2);
    expect(rank('5.10+')).toBe((rank('5.10c') + rank('5.10d')) / 2);
    expect(rank('5.10b/c')).toBe(rank('5.10'));
    expect(rank('6a/6a+')).toBe((rank('6a') + rank('6a+')) / 2);
  });

  it.each([
    ...['', ' ', '6', '6d', '10a', '5.', '5.15a', '5.10e', '5.9a', 'E2', 'HVS', 'V7', 'XX', 'IIII'],
    ...['A2', 'C1', '6b A1', '6b++', '-', '6a+/', '/6a', '5.1O', '0', '9c', '🧗'],
  ])('%s is none known here', (typed) => {
    expect(parseGrade(typed)).toBeUndefined();
  });

  test('anything at all is read or refused, and what is read is read again as itself', () => {
    const likely = fc.string({ unit: fc.constantFrom(...'5.101abcd+-/IVXivx6789 '), maxLength: 8 });
    fc.assert(
      fc.property(fc.oneof(fc.string(), likely), (typed) => {
        const grade = parseGrade(typed);
        if (grade === undefined) return;
        expect(parseGrade(grade.text)).toEqual(grade);
        expect(grade.rank).toBeGreaterThanOrEqual(0);
        expect(grade.rank).toBeLessThan(PUBLISHED.length);
        for (const system of SYSTEMS) expect(convertGrade(grade, system)).not.toBe('');
      }),
    );
  });
});
