import { closeSync, openSync, renameSync, rmSync } from 'node:fs';
import type { Database } from 'better-sqlite3';
import { sqlite } from './driver.ts';
import { asStoreError } from './errors.ts';
import { syncFile } from './migrate.ts';

/**
 * A copy by SQLite's own backup, page by page while writing goes on; under its final name only once
 * it is whole, checked and on the disk.
 */
export async function backUp(db: Database, path: string): Promise<void> {
  const part = `${path}.${process.pid}.part`;
  try {
    rmSync(part, { force: true });
    closeSync(openSync(part, 'wx', 0o600));
    await db.backup(part);
    checkCopy(part);
    syncFile(part);
    renameSync(part, path);
  } catch (error) {
    throw asStoreError(error, path);
  } finally {
    for (const end of ['', '-wal', '-shm']) rmSync(`${part}${end}`, { force: true });
  }
}

function checkCopy(path: string): void {
  const Sqlite = sqlite();
  const copy = new Sqlite(path, { fileMustExist: true });
  try {
    // One file to carry about: no log beside it.
    copy.pragma('journal_mode = DELETE');
    const found = copy.pragma('quick_check(1)', { simple: true });
    if (found !== 'ok') throw new Sqlite.SqliteError(String(found), 'SQLITE_CORRUPT');
  } finally {
    copy.close();
  }
}
