import { statfsSync } from 'node:fs';
import { dirname } from 'node:path';
import { StoreError } from '../port.ts';

type Code = StoreError['code'];

/** By SQLite's primary result code (sqlite.org/rescode.html) or the system's errno name. */
const CODES: Readonly<Record<string, Code>> = {
  SQLITE_FULL: 'STORE_FULL',
  ENOSPC: 'STORE_FULL',
  EDQUOT: 'STORE_FULL',
  SQLITE_CORRUPT: 'STORE_CORRUPT',
  SQLITE_NOTADB: 'STORE_NOT_OURS',
  SQLITE_READONLY: 'STORE_READ_ONLY',
  SQLITE_PERM: 'STORE_READ_ONLY',
  EACCES: 'STORE_READ_ONLY',
  EPERM: 'STORE_READ_ONLY',
  EROFS: 'STORE_READ_ONLY',
  SQLITE_BUSY: 'STORE_BUSY',
  SQLITE_LOCKED: 'STORE_BUSY',
  SQLITE_CANTOPEN: 'STORE_UNREACHABLE',
  ENOENT: 'STORE_UNREACHABLE',
  ENOTDIR: 'STORE_UNREACHABLE',
  EISDIR: 'STORE_UNREACHABLE',
  SQLITE_IOERR: 'STORE_IO',
  EIO: 'STORE_IO',
};

const TEXTS: Readonly<Partial<Record<Code, string>>> = {
  STORE_FULL:
    'has no room left: the disk is full. What was acknowledged is safe; what was just asked was not ' +
    'stored. Free some space; no restart is needed.',
  STORE_CORRUPT:
    'is damaged. Nothing in it was changed. Keep the file as it is, put the newest backup in its ' +
    'place together with no -wal or -shm file, and start again.',
  STORE_NOT_OURS: 'is not a database. Nothing in it was changed. Give another path.',
  STORE_READ_ONLY:
    'cannot be written. Let the user that runs this write to the file, to its -wal and -shm if ' +
    'they are there, and to its folder, or give another path.',
  STORE_BUSY:
    'is held by another process and did not come free. Nothing was stored. Look for a second ' +
    'program that has it open, then try again.',
  STORE_UNREACHABLE:
    'cannot be opened. See that its folder exists, that the path is not a folder itself, and that ' +
    'the user that runs this may enter it.',
  STORE_IO:
    'could not be read or written: the disk reported an error. Look at the system log and the disk ' +
    'before going on, and keep the newest backup at hand.',
};

/** An outside error as one of ours where it has a way out; any other comes back unchanged. */
export function asStoreError(error: unknown, path: string): unknown {
  if (error instanceof StoreError || !(error instanceof Error)) return error;
  const code = codeOf(error, path);
  if (code === undefined) return error;
  return new StoreError(code, `${path} ${TEXTS[code]}`, { cause: error });
}

/** SQLite's busy answers only: the one class that is worth another attempt as it stands. */
export function isBusy(error: unknown): boolean {
  return /^SQLITE_(BUSY|LOCKED)/.test(nameOf(error));
}

/** No room in the file or on the disk. */
export function isFull(error: unknown, path: string): boolean {
  return error instanceof Error && codeOf(error, path) === 'STORE_FULL';
}

function codeOf(error: Error, path: string): Code | undefined {
  if (error instanceof StoreError) return error.code;
  // better-sqlite3 says this one with a TypeError and no code.
  if (/directory does not exist/.test(error.message)) return 'STORE_UNREACHABLE';
  const name = nameOf(error);
  const code = CODES[/^SQLITE_[A-Z]+/.exec(name)?.[0] ?? name];
  // The shared-memory file reports a full disk as an I/O error (SQLITE_IOERR_SHMSIZE).
  return code === 'STORE_IO' && noRoom(path) ? 'STORE_FULL' : code;
}

function nameOf(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  return typeof code === 'string' ? code : '';
}

function noRoom(path: string): boolean {
  try {
    const disk = statfsSync(dirname(path));
    return disk.bavail * disk.bsize < 256 * 1024;
  } catch {
    // The folder itself is gone: then it isn't lack of room that was met.
    return false;
  }
}
