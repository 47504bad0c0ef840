import { type BigIntStats, statSync } from 'node:fs';
import { StoreError } from '../port.ts';
import { FoldedMark } from './folded-mark.ts';

/** A database holds a header of 100 bytes at least (sqlite.org/fileformat.html, 1.3). */
const HEADER_BYTES = 100;

interface Known {
  dev: bigint;
  ino: bigint;
}

/**
 * Proves that what is written goes to the files at these paths. A process goes on writing to a file that was
 * moved, removed or replaced under it, without an error, and what it writes is lost when it ends.
 */
export class SameFile {
  readonly #path: string;
  readonly #file: Known | undefined;
  readonly #folded: FoldedMark;
  /** The write-ahead log appears with the first reading. */
  #log: Known | undefined;
  /** The file as it was when it was last looked at, and how much of the log was folded into it. */
  #seen: { mtimeNs: bigint; size: bigint; folded: string } | undefined;

  /** Right after opening. */
  constructor(path: string) {
    this.#path = path;
    this.#folded = new FoldedMark(path);
    this.#file = path === ':memory:' ? undefined : look(path);
    this.#log = look(`${path}-wal`);
    if (this.#file !== undefined) this.#notWrittenOver();
  }

  /** After the database was closed. */
  close(): void {
    this.#folded.close();
  }

  /** Whether it is so. */
  isSame(): boolean {
    try {
      this.check();
      return true;
    } catch {
      return false;
    }
  }

  /** Throws a StoreError STORE_MOVED when it isn't so. */
  check(): void {
    if (this.#file === undefined) return;
    const now = look(this.#path);
    if (!same(now, this.#file)) throw moved(`${this.#path} was moved, removed or replaced`);
    if (now.size < HEADER_BYTES) throw moved(`${this.#path} was emptied`);
    const log = look(`${this.#path}-wal`);
    if (this.#log !== undefined && !same(log, this.#log)) {
      throw moved(`${this.#path}-wal was moved, removed or replaced`);
    }
    this.#log = log;
    this.#notWrittenOver();
  }

  /**
   * The file changes when the log is folded into it, and at no other time. What is copied over it changes it, too, and
   * would be noticed at the next start only: what was read before is still remembered.
   */
  #notWrittenOver(): void {
    const folded = this.#folded.read();
    const now = look(this.#path);
    // Another process may be folding at this moment.
    if (folded === undefined || now === undefined || this.#folded.read() !== folded) return;
    const seen = this.#seen;
    const isAsFolded = folded === seen?.folded;
    if (isAsFolded && (now.mtimeNs !== seen.mtimeNs || now.size !== seen.size)) {
      throw moved(`${this.#path} was written over`);
    }
    this.#seen = { mtimeNs: now.mtimeNs, size: now.size, folded };
  }
}

function look(path: string): BigIntStats | undefined {
  return statSync(path, { bigint: true, throwIfNoEntry: false });
}

function same<T extends Known>(now: T | undefined, known: Known): now is T {
  return now !== undefined && now.ino === known.ino && now.dev === known.dev;
}

function moved(what: string): StoreError {
  return new StoreError(
    'STORE_MOVED',
    `${what} while the bot was running. Stop it, put the right file there, and start it again.`,
  );
}
