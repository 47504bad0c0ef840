import { renameSync, rmSync } from 'node:fs';
import type { Database } from 'better-sqlite3';
import { copyAll, type Filling, type Reading, type Row, type Table } from '../copy.ts';
import { StoreError } from '../port.ts';
import { asStoreError } from './errors.ts';
import { syncFile } from './migrate.ts';
import { openDatabase } from './open.ts';

const LOT = 500;

/** As it stands now: whatever another connection writes meanwhile is not seen. */
export async function readDatabase<T>(
  path: string,
  work: (from: Reading) => Promise<T>,
): Promise<T> {
  const { db } = openDatabase(path);
  try {
    db.exec('BEGIN');
    assertIdle(db);
    return await work({ rows: (table) => rowsOf(db, table) });
  } catch (error) {
    throw asStoreError(error, path);
  } finally {
    if (db.inTransaction) db.exec('COMMIT');
    db.close();
  }
}

/** A new file at `path`, filled from elsewhere; under its name only once it is whole, checked and on the disk. */
export async function fillFile(path: string, from: Reading): Promise<Record<string, number>> {
  const part = `${path}.${process.pid}.part`;
  try {
    drop(part);
    const counts = await fill(part, from);
    syncFile(part);
    renameSync(part, path);
    return counts;
  } catch (error) {
    throw asStoreError(error, path);
  } finally {
    drop(part);
  }
}

async function fill(path: string, from: Reading): Promise<Record<string, number>> {
  const { db } = openDatabase(path);
  try {
    db.exec('BEGIN');
    const counts = await copyAll(from, filling(db));
    db.exec('COMMIT');
    // One file to carry about: no log beside it.
    db.pragma('journal_mode = DELETE');
    return counts;
  } finally {
    db.close();
  }
}

function filling(db: Database): Filling {
  return {
    rows: (table) => rowsOf(db, table),
    async put({ name, columns }, rows) {
      const values = columns.map((c) => `@${c}`).join(', ');
      const insert = db.prepare(`INSERT INTO ${name} (${columns.join(', ')}) VALUES (${values})`);
      for (const row of rows) insert.run(row);
    },
  };
}

async function* rowsOf(db: Database, { name, columns, order }: Table): AsyncGenerator<Row[]> {
  const all = db.prepare<[], Row>(
    `SELECT ${columns.join(', ')} FROM ${name} ORDER BY ${order.join(', ')}`,
  );
  let lot: Row[] = [];
  for (const row of all.iterate()) {
    lot.push(row);
    if (lot.length < LOT) continue;
    yield lot;
    lot = [];
  }
  yield lot;
}

/** What a running bot writes after the copy would be lost. */
function assertIdle(db: Database): void {
  const nowMs = db
    .prepare<[], number>(`SELECT CAST(unixepoch('subsec') * 1000 AS INTEGER)`)
    .pluck();
  const owner = db
    .prepare<[number], string>(
      `SELECT owner FROM lease WHERE name LIKE 'process:%' AND until_ms > ?`,
    )
    .pluck()
    .get(nowMs.get() ?? 0);
  if (owner === undefined) return;
  throw new StoreError(
    'STORE_BUSY',
    `${db.name} is in use by a running tagline (${owner}). Stop it, wait a quarter of a minute, and try again.`,
  );
}

function drop(path: string): void {
  for (const end of ['', '-wal', '-shm', '-journal']) rmSync(`${path}${end}`, { force: true });
}
