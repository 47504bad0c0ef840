import { closeSync, openSync, readSync } from 'node:fs';

/** Where the index of the log says which log it is of (two salts), and how much of it was folded (sqlite.org/walformat.html, 2.1–2.2). */
const SALTS = { from: 32, bytes: 8 };
const FOLDED = { from: 96, bytes: 4 };
/** Set before the file is written to. Between the two lie bytes that are locked on some systems. */
const FOLDING = { from: 128, bytes: 4 };

/** A mark that changes whenever SQLite folds any of the write-ahead log into the file of the database. */
export class FoldedMark {
  readonly #index: string;
  #file: number | undefined;

  /** @param path of the database; its `-shm` is read */
  constructor(path: string) {
    this.#index = `${path}-shm`;
  }

  /** Undefined where it can't be read. */
  read(): string | undefined {
    try {
      this.#file ??= openSync(this.#index, 'r');
      const file = this.#file;
      return [SALTS, FOLDED, FOLDING].map((part) => hex(file, part)).join(' ');
    } catch {
      return undefined;
    }
  }

  /**
   * After the last connection of this process was closed, and not before: closing any descriptor of a file ends every lock
   * that the process has on it (fcntl(2)). Without its lock another process that opens the database takes the index for
   * left over, and cuts it off under the connection that uses it.
   */
  close(): void {
    if (this.#file !== undefined) closeSync(this.#file);
    this.#file = undefined;
  }
}

function hex(file: number, { from, bytes }: { from: number; bytes: number }): string {
  const out = Buffer.alloc(bytes);
  if (readSync(file, out, 0, bytes, from) < bytes) throw new RangeError('the index is too short');
  return out.toString('hex');
}
