import { createHash } from 'node:crypto';
import { StoreError } from './port.ts';

export type Value = string | number | null;
export type Row = Readonly<Record<string, Value>>;

/** A table as it is copied: its columns, and those that put its rows in order. */
export interface Table {
  name: string;
  columns: readonly string[];
  order: readonly string[];
}

const table = (name: string, columns: string, order: string): Table => ({
  name,
  columns: columns.split(' '),
  order: order.split(' '),
});

/** All that is worth keeping, those first that others refer to. Leases are not: they belong to processes. */
export const TABLES: readonly Table[] = [
  table('trip', 'id channel guild name status seq opened_at_ms purged_at_ms', 'opened_at_ms id'),
  table(
    'event',
    'trip seq id kind at_ms recorded_at_ms by_id by_name typed data salt content hash',
    'trip seq',
  ),
  table('answer', 'key trip seq answer', 'key'),
  table('member', 'trip user', 'trip user'),
  table('deadline', 'trip key due_at_ms data fired_at_ms', 'trip key'),
  table(
    'notice',
    'key trip urgency due_at_ms expires_at_ms data nonce status attempts next_try_at_ms last_error sent_at_ms receipt',
    'key',
  ),
  table('board', 'trip posts channel message pinned wanted shown_by shown_at_ms shown_seq', 'trip'),
  table('fact', 'name value', 'name'),
];

/** One state of a database, whatever is written meanwhile. */
export interface Reading {
  /** Rows in order, a lot at a time. */
  rows(table: Table): AsyncIterable<readonly Row[]>;
}

/** An empty database that is being filled; what is put there counts once it is committed. */
export interface Filling extends Reading {
  put(table: Table, rows: readonly Row[]): Promise<void>;
}

/**
 * Copies everything, then reads both and holds them against each other: the same rows, or it throws. The caller
 * commits.
 *
 * @returns how many rows of each table there are
 */
export async function copyAll(from: Reading, to: Filling): Promise<Record<string, number>> {
  const counts: Record<string, number> = {};
  for (const table of TABLES) {
    const there = new Digest();
    for await (const rows of from.rows(table)) {
      there.add(table, rows);
      await to.put(table, rows);
    }
    const here = new Digest();
    for await (const rows of to.rows(table)) here.add(table, rows);
    if (here.text() !== there.text()) {
      throw new StoreError(
        'STORE_CORRUPT',
        `The copy of the table "${table.name}" is not like the original. Nothing was kept of the copy.`,
      );
    }
    counts[table.name] = there.count;
  }
  return counts;
}

class Digest {
  count = 0;
  readonly #hash = createHash('sha256');

  add({ columns }: Table, rows: readonly Row[]): void {
    for (const row of rows) this.#hash.update(`${JSON.stringify(columns.map((c) => row[c]))}\n`);
    this.count += rows.length;
  }

  text(): string {
    return `${this.count} ${this.#hash.copy().digest('hex')}`;
  }
}
