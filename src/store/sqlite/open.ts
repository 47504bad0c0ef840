import { accessSync, closeSync, constants, openSync, statSync } from 'node:fs';
import type { Database } from 'better-sqlite3';
import { StoreError } from '../port.ts';
import { sqlite } from './driver.ts';
import { asStoreError } from './errors.ts';
import { isInUse, isLeftWhole } from './left-whole.ts';
import { migrate, versionOf } from './migrate.ts';
import { MIGRATIONS } from './migrations/index.ts';
import type { Migration } from './migrations/migration.ts';

/**
 * How long one attempt waits for another process. The wait holds the event loop, so it is short;
 * the commit queue tries again, with the loop turning in between.
 */
const BUSY_WAIT_MS = 50;

/**
 * How long opening waits for another process, which may be making or bringing up the same file on a slow
 * disk. Nothing else runs yet that could be held up.
 */
const OPENING_WAIT_MS = 20_000;

/** PRAGMA synchronous: 2 is FULL (sqlite.org/pragma.html#pragma_synchronous). */
const SYNCHRONOUS_FULL = 2;

export interface Opened {
  db: Database;
  /** Copy made before a migration. */
  copy: string | undefined;
}

/**
 * Opens the database at `path`, creating it when there is none, checks it, makes it durable and
 * brings it to the newest shape. Throws a StoreError that says the way out; a file that is refused
 * is not changed. ':memory:' is for tests: it has no write-ahead log and survives nothing.
 */
export function openDatabase(path: string, migrations: readonly Migration[] = MIGRATIONS): Opened {
  let db: Database | undefined;
  try {
    if (path === '') throw new StoreError('STORE_UNREACHABLE', 'The database has no path.');
    if (path !== ':memory:') {
      createIfMissing(path);
      inspect(path, migrations.at(-1)?.version ?? 0);
      isInUse(path);
    }
    db = new (sqlite())(path, { timeout: OPENING_WAIT_MS });
    makeDurable(db);
    const copy = migrate(db, migrations);
    db.pragma(`busy_timeout = ${BUSY_WAIT_MS}`);
    return { db, copy };
  } catch (error) {
    db?.close();
    throw asStoreError(error, path);
  }
}

/** Ours alone to read: contacts' phones are in it. SQLite gives -wal and -shm the same mode. */
function createIfMissing(path: string): void {
  try {
    closeSync(openSync(path, 'wx', 0o600));
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    // SQLite would open a folder and fail at reading it.
    if (statSync(path).isDirectory()) {
      throw new StoreError('STORE_UNREACHABLE', `${path} is a folder. Give the path of a file.`);
    }
    // Asked, not opened: closing a second handle would drop the locks of a store that is open here.
    accessSync(path, constants.R_OK | constants.W_OK);
  }
}

/** Looks at a file through a connection that can't write, so that a refused file stays as it was. */
function inspect(path: string, newest: number): void {
  // Asked before anything is opened: even reading makes a log beside the file.
  const isWhole = isLeftWhole(path);
  const db = new (sqlite())(path, {
    readonly: true,
    fileMustExist: true,
    timeout: OPENING_WAIT_MS,
  });
  try {
    // The version comes first: a newer shape may hold what this release can't check.
    if (versionOf(db, newest) === 0 || isWhole) return;
    const found = db.pragma('quick_check(1)', { simple: true });
    if (found !== 'ok') throw new (sqlite().SqliteError)(String(found), 'SQLITE_CORRUPT');
  } finally {
    db.close();
  }
}

/** Sets what an acknowledged post depends on, and reads it back. */
export function makeDurable(db: Database): void {
  const mode = db.pragma('journal_mode = WAL', { simple: true });
  // On every open: better-sqlite3's build falls back to NORMAL when it opens a WAL file again.
  db.pragma('synchronous = FULL');
  db.pragma('foreign_keys = ON');
  // Freed content is overwritten with zeros; a purge relies on it.
  db.pragma('secure_delete = ON');
  // Sorting for VACUUM and queries stays off the disk: nothing personal in the temporary folder.
  db.pragma('temp_store = MEMORY');
  // A checkpoint gives the log's room back beyond this.
  db.pragma('journal_size_limit = 16777216');
  if (!db.memory && mode !== 'wal') {
    throw new StoreError(
      'STORE_NOT_DURABLE',
      `${db.name} cannot keep a write-ahead log here (it uses "${String(mode)}"). ` +
        'Put it on a local disk, not on a network share.',
    );
  }
  assertDurable(db);
}

/** Refuses a connection whose commits would not wait for the disk. */
export function assertDurable(db: Database): void {
  const synchronous = db.pragma('synchronous', { simple: true });
  if (synchronous === SYNCHRONOUS_FULL) return;
  throw new StoreError(
    'STORE_NOT_DURABLE',
    `${db.name}: synchronous is ${String(synchronous)} instead of ${SYNCHRONOUS_FULL} (FULL), so a ` +
      'power cut could take acknowledged posts. Not started. This is a fault of the build: report it.',
  );
}
