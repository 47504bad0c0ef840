import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs';
import type { Database } from 'better-sqlite3';
import { StoreError } from '../port.ts';
import type { Migration } from './migrations/migration.ts';
import { sealWork } from './seals.ts';

/** 'tagl' in ASCII, in the header of the file: tells our database from anybody else's. */
export const APPLICATION_ID = 0x7461676c;

/** What the header says of a file: nothing in it yet, or ours at some version. Throws for any other. */
export function versionOf(db: Database, newest: number): number {
  const application = db.pragma('application_id', { simple: true }) as number;
  const version = db.pragma('user_version', { simple: true }) as number;
  const tables = db.prepare('SELECT count(*) FROM sqlite_schema').pluck().get() as number;
  if (application === 0 && version === 0 && tables === 0) return 0;
  if (application !== APPLICATION_ID) {
    throw new StoreError(
      'STORE_NOT_OURS',
      `${db.name} is a database of another program. Nothing in it was changed. Give another path.`,
    );
  }
  if (version > newest) {
    throw new StoreError(
      'STORE_NEWER',
      `${db.name} was written by a newer release (shape ${version}, this one knows ${newest}). ` +
        'Nothing in it was changed. Start the newer release, or restore a copy made before it.',
    );
  }
  return version;
}

/**
 * Brings the database to the newest shape: a copy of the old file first, then every missing step in
 * one transaction. Returns the path of the copy, if one was made. The copy stays until an operator
 * removes it.
 */
export function migrate(db: Database, migrations: readonly Migration[]): string | undefined {
  const newest = migrations.at(-1)?.version ?? 0;
  const before = versionOf(db, newest);
  const copy = before > 0 && before < newest && !db.memory ? copyBefore(db, before) : undefined;
  // IMMEDIATE, and the version read again: another process may have migrated since.
  db.transaction(() => {
    const version = versionOf(db, newest);
    for (const step of migrations.filter((m) => m.version > version)) {
      db.exec(step.sql);
      if (step.also === 'seal') sealWork(db).all();
    }
    // Written even when there was nothing to do: it proves that the file can be written. BEGIN
    // IMMEDIATE alone doesn't, SQLite quietly makes it a read of a read-only file.
    db.pragma(`user_version = ${newest}`);
    if (version === 0) db.pragma(`application_id = ${APPLICATION_ID}`);
  }).immediate();
  return copy;
}

/** A whole copy beside the file, under its final name only once it is on the disk. */
function copyBefore(db: Database, version: number): string {
  let path = `${db.name}.v${version}`;
  // An earlier copy is somebody's way back: it is never overwritten.
  for (let n = 2; existsSync(path); n++) path = `${db.name}.v${version}-${n}`;
  const part = `${path}.${process.pid}.part`;
  rmSync(part, { force: true });
  try {
    // Made by us first, so that nobody else may read what is in it. SQLite fills an empty file.
    closeSync(openSync(part, 'wx', 0o600));
    db.prepare('VACUUM INTO ?').run(part);
    syncFile(part);
    renameSync(part, path);
  } finally {
    rmSync(part, { force: true });
  }
  return path;
}

/** The file's bytes are on the disk when this returns. */
export function syncFile(path: string): void {
  const fd = openSync(path, 'r+');
  try {
    fsyncSync(fd);
  } finally {
    closeSync(fd);
  }
}
