import { closeSync, openSync, readSync } from 'node:fs';

/** Where the index of the log says which log it is of (two salts), and how much of it was folded (sqlite.org/walformat.html, 2.1–2.2). */
const SALTS = { from: 32, bytes: 8 };
const FOLDED = { from: 96, bytes: 4 };
/** Set before the file is written to. Between the two lie bytes that are locked on some systems. */
const FOLDING = { from: 128, bytes: 4 };

/**
 * A mark that changes whenever SQLite folds any of the write-ahead log into the file of the database.
 *
 * @param path of the database; its `-shm` is read
 * @returns undefined where it can't be read
 */
export function foldedMark(path: string): string | undefined {
  let file: number | undefined;
  try {
    file = openSync(`${path}-shm`, 'r');
    return [SALTS, FOLDED, FOLDING].map((part) => hex(file as number, part)).join(' ');
  } catch {
    return undefined;
  } finally {
    if (file !== undefined) closeSync(file);
  }
}

function hex(file: number, { from, bytes }: { from: number; bytes: number }): string {
  const out = Buffer.alloc(bytes);
  if (readSync(file, out, 0, bytes, from) < bytes) throw new RangeError('the index is too short');
  return out.toString('hex');
}
