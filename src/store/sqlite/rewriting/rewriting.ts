import { randomUUID } from 'node:crypto';
import type { Database } from 'better-sqlite3';
import type { Logger } from 'pino';
import type { Clock } from '../../../time/clock.ts';
import type { ChangePoll } from '../changes.ts';
import type { CommitQueue } from '../commit.ts';
import type { SameFile } from '../same-file.ts';
import type { SharedWork } from '../shared.ts';
import type { Rewrite } from './apart.ts';

/** The name under which it is kept that bytes of what was erased may still be in the file. */
const OWED = 'store.rewrite-owed';
/** After a failure it is tried again so often: a disk that was full may have room. Engineering choice. */
const AGAIN_MS = 600_000;

interface Parts {
  db: Database;
  queue: CommitQueue;
  file: SameFile;
  poll: ChangePoll;
  shared: Pick<SharedWork, 'fact' | 'swapFact' | 'setFact'>;
  clock: Clock;
  rewrite: Rewrite;
  log: Pick<Logger, 'error' | 'info'> | undefined;
}

/**
 * Takes what was erased out of the bytes of the file. That it is owed is stored with the erasing itself, so that
 * nothing forgets it: not a full disk, nor a process that is killed. Those who ask at the same time share one rewriting.
 */
export class Rewriting {
  readonly #parts: Parts;
  readonly #off = new AbortController();
  /** Asked for and not begun. */
  #next: Promise<void> | undefined;
  /** Asked for last: one follows the other. */
  #last: Promise<void> | undefined;
  #isRunning = false;
  #again: Promise<void> | undefined;
  #failed: string | undefined;

  constructor(parts: Parts) {
    this.#parts = parts;
    if (!parts.db.memory && parts.shared.fact(OWED) !== undefined) void this.now();
  }

  /** What is not in order, in a few words. */
  get trouble(): string | undefined {
    if (this.#failed === undefined) return undefined;
    return `bytes of what was erased are still in the file (${this.#failed})`;
  }

  /** Whether the file is written to by another connection of ours. */
  get isRunning(): boolean {
    return this.#isRunning;
  }

  /** To be called inside the transaction that erases. */
  owe(): void {
    if (!this.#parts.db.memory) this.#parts.shared.setFact(OWED, randomUUID());
  }

  /** Resolves when all that is owed by now was tried; never rejects. */
  now(): Promise<void> {
    if (this.#parts.db.memory) return Promise.resolve();
    if (this.#next === undefined) {
      this.#next = this.#tried();
      this.#last = this.#next;
    }
    return this.#next;
  }

  /** Ends what is asked for, and tries no more. */
  async close(): Promise<void> {
    this.#off.abort();
    await this.#again;
    await this.#last;
  }

  async #tried(): Promise<void> {
    const { log } = this.#parts;
    try {
      await this.#rewritten();
      if (this.#failed !== undefined) log?.info('bytes of what was erased are gone from the file');
      this.#failed = undefined;
    } catch (error) {
      const { code } = error as { code?: unknown };
      this.#failed = typeof code === 'string' ? code : 'its thread failed';
      log?.error(
        { err: error },
        'bytes of what was erased are still in the file; it is tried again in ten minutes',
      );
      this.#again ??= this.#later();
    }
  }

  async #rewritten(): Promise<void> {
    const { queue, shared } = this.#parts;
    const owed = await queue.aside(() => this.#aside());
    if (owed === undefined) return;
    // Where even that can't be written, it is done once more at the next start.
    await queue.submit(() => shared.swapFact(OWED, owed, undefined)).catch(() => false);
  }

  /** Gives what was owed when it began. */
  async #aside(): Promise<string | undefined> {
    const { db, file, poll, shared, rewrite } = this.#parts;
    // Whoever asks from now on comes too late for this one.
    this.#next = undefined;
    file.check();
    const owed = shared.fact(OWED);
    poll.catchUp();
    this.#isRunning = true;
    try {
      await rewrite(db.name);
    } finally {
      this.#isRunning = false;
    }
    return owed;
  }

  async #later(): Promise<void> {
    await this.#parts.clock.sleep(AGAIN_MS, this.#off.signal);
    this.#again = undefined;
    if (!this.#off.signal.aborted) await this.now();
  }
}
