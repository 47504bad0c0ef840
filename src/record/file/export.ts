import { stringify } from 'csv-stringify/sync';
import type { FileOut } from '../../say/reply.ts';
import type { RawFact } from '../../trip/fact.ts';
import { COLUMNS, guarded, toLine } from './columns.ts';

/** The whole record, struck entries included, as JSON Lines: one entry a line. */
export function exportJsonLines(name: string, events: readonly RawFact[]): FileOut {
  const text = events.map((e) => `${JSON.stringify(toLine(e))}\n`).join('');
  return file(`${name}.jsonl`, 'application/x-ndjson', text);
}

/** The same as CSV (RFC 4180, UTF-8), `data` as JSON in its cell, and no cell a formula. */
export function exportCsv(name: string, events: readonly RawFact[]): FileOut {
  const rows = events.map((e) => {
    const line = toLine(e);
    const text = { ...line, seq: String(line.seq), typed: line.typed ?? '' };
    const cells = { ...text, data: JSON.stringify(line.data) };
    return Object.fromEntries(Object.entries(cells).map(([k, cell]) => [k, guarded(cell)]));
  });
  const text = stringify(rows, {
    header: true,
    columns: [...COLUMNS],
    record_delimiter: 'windows',
  });
  return file(`${name}.csv`, 'text/csv', text);
}

function file(name: string, mime: string, text: string): FileOut {
  return { name, mime, bytes: new TextEncoder().encode(text) };
}
