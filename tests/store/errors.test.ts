import { expect, it } from 'vitest';
import { sqlite as driver } from '../../src/store/sqlite/driver.ts';
import { asStoreError, isBusy, isFull } from '../../src/store/sqlite/errors.ts';

const sqlite = (code: string) => new (driver().SqliteError)('said by SQLite', code);
const system = (code: string) => Object.assign(new Error(`${code}: said by the system`), { code });
const HERE = import.meta.filename;

// Codes: sqlite.org/rescode.html, primary and extended; errno names: POSIX errno.h.
it.each([
  [sqlite('SQLITE_FULL'), 'STORE_FULL'],
  [system('ENOSPC'), 'STORE_FULL'],
  [sqlite('SQLITE_CORRUPT'), 'STORE_CORRUPT'],
  [sqlite('SQLITE_CORRUPT_INDEX'), 'STORE_CORRUPT'],
  [sqlite('SQLITE_NOTADB'), 'STORE_NOT_OURS'],
  [sqlite('SQLITE_READONLY'), 'STORE_READ_ONLY'],
  [sqlite('SQLITE_READONLY_DIRECTORY'), 'STORE_READ_ONLY'],
  [system('EROFS'), 'STORE_READ_ONLY'],
  [system('EACCES'), 'STORE_READ_ONLY'],
  [sqlite('SQLITE_BUSY'), 'STORE_BUSY'],
  [sqlite('SQLITE_BUSY_RECOVERY'), 'STORE_BUSY'],
  [sqlite('SQLITE_CANTOPEN_ISDIR'), 'STORE_UNREACHABLE'],
  [system('ENOENT'), 'STORE_UNREACHABLE'],
  [sqlite('SQLITE_IOERR_FSYNC'), 'STORE_IO'],
])('%s becomes %s, with a way out', (error, code) => {
  const stored = asStoreError(error, HERE);
  expect(stored).toMatchObject({ name: 'StoreError', code, cause: error });
  // Path, what is wrong, and at least one more sentence: what to do.
  expect((stored as Error).message).toMatch(/^\/\S+ .+\. [A-Z].+\.$/);
});

it('leaves faults of ours as they are', () => {
  const fault = sqlite('SQLITE_CONSTRAINT_UNIQUE');
  expect(asStoreError(fault, HERE)).toBe(fault);
  expect(asStoreError('a string', HERE)).toBe('a string');
});

it('tells what is worth another attempt', () => {
  expect(isBusy(sqlite('SQLITE_BUSY_SNAPSHOT'))).toBe(true);
  expect(isBusy(sqlite('SQLITE_FULL'))).toBe(false);
  expect(isFull(sqlite('SQLITE_FULL'), HERE)).toBe(true);
  expect(isFull(sqlite('SQLITE_IOERR_WRITE'), HERE)).toBe(false);
  expect(isFull(undefined, HERE)).toBe(false);
});
