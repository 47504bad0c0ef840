import { z } from 'zod';
import type { Seal } from '../../store/seal.ts';
import type { RawFact } from '../../trip/fact.ts';

const digits = z.string().regex(/^[0-9a-f]{0,64}$/);

/** One line of an exported record. Times are ISO 8601 in UTC; `data` is JSON. */
export const recordLine = z.strictObject({
  seq: z.coerce.number({ error: 'isn’t a whole number' }).int().min(1),
  id: z.string().min(1).max(64),
  kind: z.string().min(1).max(40),
  at: z.iso.datetime({ offset: true }),
  recorded_at: z.iso.datetime({ offset: true }),
  by_id: z.string().max(64),
  by_name: z.string().max(100),
  typed: z.string().max(100).optional(),
  data: z.record(z.string(), z.unknown()),
  salt: digits.optional(),
  content: digits.optional(),
  hash: digits.optional(),
});

/** An entry of the record as a line of the exported file. */
export type RecordLine = z.infer<typeof recordLine>;

/** The columns of the record as CSV, in order. */
export const COLUMNS = [
  'seq',
  'id',
  'kind',
  'at',
  'recorded_at',
  'by_id',
  'by_name',
  'typed',
  'data',
  'salt',
  'content',
  'hash',
] as const satisfies readonly (keyof RecordLine)[];

/** What a spreadsheet takes for the beginning of a formula, behind any apostrophes (OWASP ASVS 5.0, V1.2.10). */
const FORMULA = /^'*[=+\-@\t\r\0]/;

/** A cell that no spreadsheet works out: behind an apostrophe, which means text there. */
export function guarded(cell: string): string {
  return FORMULA.test(cell) ? `'${cell}` : cell;
}

/** The cell as it was before it was guarded. */
export function unguarded(cell: string): string {
  return cell.startsWith("'") && FORMULA.test(cell) ? cell.slice(1) : cell;
}

/** A fact as a line of the file, with its seal where it has one; times become ISO 8601 in UTC. */
export function toLine(event: RawFact & { seal?: Seal }): RecordLine {
  return {
    seq: event.seq,
    id: event.id,
    kind: event.kind,
    at: new Date(event.atMs).toISOString(),
    recorded_at: new Date(event.recordedAtMs).toISOString(),
    by_id: event.by.id,
    by_name: event.by.name,
    ...(event.typed === undefined ? {} : { typed: event.typed }),
    data: event.data as Record<string, unknown>,
    ...event.seal,
  };
}

/** The seal in a line of the file; undefined where it has none. */
export function sealIn({ salt, content, hash }: RecordLine): Seal | undefined {
  if (!content || !hash) return undefined;
  return { ...(salt ? { salt } : {}), content, hash };
}

/** A line of the file as a fact of the trip `trip`; its kind and data are not checked yet. */
export function toFact(trip: string, line: RecordLine): RawFact {
  return {
    trip,
    seq: line.seq,
    id: line.id,
    kind: line.kind,
    atMs: Date.parse(line.at),
    recordedAtMs: Date.parse(line.recorded_at),
    by: { id: line.by_id, name: line.by_name },
    ...(line.typed === undefined ? {} : { typed: line.typed }),
    data: line.data,
  };
}
