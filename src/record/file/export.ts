import { stringify } from 'csv-stringify/sync';
import type { FileOut } from '../../say/reply.ts';
import type { Seal } from '../../store/seal.ts';
import type { RawFact } from '../../trip/fact.ts';
import { COLUMNS, guarded, toLine } from './columns.ts';

type Exported = RawFact & { seal?: Seal };

/** The whole record, struck entries included, as JSON Lines: one entry a line. */
export function exportJsonLines(name: string, events: readonly Exported[]): FileOut {
  const text = events.map((e) => `${JSON.stringify(toLine(e))}\n`).join('');
  return file(`${name}.jsonl`, 'application/x-ndjson', text);
}

/** The same as CSV (RFC 4180, UTF-8), `data` as JSON in its cell, and no cell a formula. */
export function exportCsv(name: string, events: readonly Exported[]): FileOut {
  const rows = events.map((e) => {
    const line = toLine(e);
    const none = { typed: '', salt: '', content: '', hash: '' };
    const text = { ...none, ...line, seq: String(line.seq) };
    const cells = { ...text, data: JSON.stringify(line.data) };
    return Object.fromEntries(Object.entries(cells).map(([k, cell]) => [k, guarded(cell ?? '')]));
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
