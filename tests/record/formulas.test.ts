/**
 * A record opened in a spreadsheet works nothing out. OWASP ASVS 5.0, V1.2.10 (CSV and formula injection: RFC 4180,
 * and an apostrophe before =, +, -, @, tab and carriage return).
 */
import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { guarded, toFact, unguarded } from '../../src/record/file/columns.ts';
import { exportCsv, exportJsonLines } from '../../src/record/file/export.ts';
import { readRecord } from '../../src/record/file/import.ts';
import type { RawFact } from '../../src/trip/fact.ts';

const BAD = ['=HYPERLINK("http://x","y")', '+1', '-20m', '@SUM(A1)', '\tx', '\r=1', "'=1", "''-1"];

test.each([...BAD, "it's", "'tis", 'Mara', ''])('%j comes back as it was', (cell) => {
  expect(unguarded(guarded(cell))).toBe(cell);
});

test.each([1, 100, 101, 350])(
  'an exported record of %i entries is whole, under one header',
  async (count) => {
    const facts = Array.from({ length: count }, (_, i): RawFact => {
      const at = { trip: 't', seq: i + 1, id: `${i}`, atMs: i, recordedAtMs: i };
      return { ...at, kind: 'trip.edited', by: { id: 'm', name: 'M' }, data: { name: `${i}` } };
    });
    for (const write of [exportCsv, exportJsonLines]) {
      const { bytes } = await write('x', facts);
      expect((await readRecord(bytes)).map((line) => toFact('t', line))).toEqual(facts);
    }
  },
);

test('ASVS V1.2.10: no cell of an exported record begins a formula, and the record reads back the same', async () => {
  const facts = BAD.map((name, i): RawFact => {
    const at = { trip: 't', seq: i + 1, id: `=${i}`, atMs: 0, recordedAtMs: 0 };
    return { ...at, kind: 'trip.edited', by: { id: name, name }, typed: name, data: { name } };
  });
  const { bytes } = await exportCsv('x', facts);
  const cells = (parse(Buffer.from(bytes), { from: 2 }) as string[][]).flat();
  expect(cells.filter((cell) => /^[=+\-@\t\r]/.test(cell))).toEqual([]);
  expect((await readRecord(bytes)).map((line) => toFact('t', line))).toEqual(facts);
});
