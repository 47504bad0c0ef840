import { setImmediate } from 'node:timers/promises';
import { stringify } from 'csv-stringify/sync';
import type { FileOut } from '../../say/reply.ts';
import type { Seal } from '../../store/seal.ts';
import type { RawFact } from '../../trip/fact.ts';
import { COLUMNS, guarded, toLine } from './columns.ts';

type Exported = RawFact & { seal?: Seal };

/** Entries written before the event loop gets its turn: a few milliseconds' worth. */
const SLICE = 100;

/** The whole record, struck entries included, as JSON Lines: one entry a line. */
export async function exportJsonLines(name: string, events: readonly Exported[]): Promise<FileOut> {
  const parts = await inSlices(events, (slice) =>
    slice.map((e) => `${JSON.stringify(toLine(e))}\n`).join(''),
  );
  return file(`${name}.jsonl`, 'application/x-ndjson', parts);
}

/** The same as CSV (RFC 4180, UTF-8), `data` as JSON in its cell, and no cell a formula. */
export async function exportCsv(name: string, events: readonly Exported[]): Promise<FileOut> {
  const parts = await inSlices(events, (slice, isFirst) => csv(slice.map(cellsOf), isFirst));
  return file(`${name}.csv`, 'text/csv', parts);
}

function cellsOf(fact: Exported): Record<string, string> {
  const line = toLine(fact);
  const none = { typed: '', salt: '', content: '', hash: '' };
  const text = { ...none, ...line, seq: String(line.seq) };
  const cells = { ...text, data: JSON.stringify(line.data) };
  return Object.fromEntries(Object.entries(cells).map(([k, cell]) => [k, guarded(cell ?? '')]));
}

const csv = (rows: readonly object[], header: boolean) =>
  stringify([...rows], { header, columns: [...COLUMNS], record_delimiter: 'windows' });

/** Bytes of one slice after the other; a record without entries has one that is empty. */
async function inSlices(
  events: readonly Exported[],
  written: (slice: readonly Exported[], isFirst: boolean) => string,
): Promise<Uint8Array[]> {
  const parts: Uint8Array[] = [];
  for (let from = 0; from === 0 || from < events.length; from += SLICE) {
    if (from > 0) await setImmediate();
    const text = written(events.slice(from, from + SLICE), from === 0);
    parts.push(new TextEncoder().encode(text));
  }
  return parts;
}

function file(name: string, mime: string, parts: readonly Uint8Array[]): FileOut {
  return { name, mime, bytes: new Uint8Array(Buffer.concat(parts)) };
}
