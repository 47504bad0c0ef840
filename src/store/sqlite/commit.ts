import type { Database } from 'better-sqlite3';
import type { Clock } from '../../time/clock.ts';
import { StoreError } from '../port.ts';
import { asStoreError, isBusy, isFull } from './errors.ts';

/** More than this in one transaction would hold the event loop for too long. */
const JOBS_PER_COMMIT = 256;
/** Attempts to get the write lock, each as long as the connection's busy wait, and the time between two: five seconds in all. */
const BUSY_ATTEMPTS = 50;
const BUSY_PAUSE_MS = 50;
/**
 * How long what is submitted waits for work that is done aside. After that it is refused, so that the watch goes on from
 * memory. Engineering choice: as late as an alarm may be without anybody noticing.
 */
export const PATIENCE_MS = 2_000;

interface Job {
  work: () => unknown;
  /** Done between two transactions, and waited for. */
  isAside?: true;
  resolve: (value: never) => void;
  reject: (reason: unknown) => void;
}

type Outcome = { ok: true; value: unknown } | { ok: false; error: unknown };

/**
 * Group commit: what is submitted in one turn of the event loop shares a transaction, so that many
 * posts wait for the disk once. Each has a savepoint of its own: one that fails takes nothing of
 * the others with it.
 */
export class CommitQueue {
  readonly #db: Database;
  readonly #sql: ReturnType<typeof statements>;
  readonly #clock: Clock;
  readonly #waiting: Job[] = [];
  #draining: Promise<void> | undefined;
  /** What is done aside has outlasted the patience. */
  #isHeldUp = false;
  #closed = false;
  #metDamage = false;

  constructor(db: Database, clock: Clock) {
    this.#db = db;
    this.#clock = clock;
    this.#sql = statements(db);
  }

  /** Whether any work failed because the file is damaged, or its disk is at fault. */
  get metDamage(): boolean {
    return this.#metDamage;
  }

  /** Runs `work` inside a transaction; resolves only once it is on the disk. */
  async submit<T>(work: () => T): Promise<T> {
    this.assertOpen();
    if (this.#isHeldUp) throw this.#heldUp();
    return this.#queued({ work });
  }

  /**
   * Runs `work` when all that was submitted before is on the disk. Nothing of ours is written until it has ended; what
   * is only read goes on.
   */
  async aside<T>(work: () => T | Promise<T>): Promise<T> {
    this.assertOpen();
    return this.#queued<T>({ work, isAside: true });
  }

  #queued<T>(job: Pick<Job, 'work' | 'isAside'>): Promise<T> {
    return new Promise<T>((resolve, reject) => {
      this.#waiting.push({ ...job, resolve, reject });
      this.#draining ??= this.#drain();
    });
  }

  /** Runs `work` between transactions, again while it meets a busy database, bounded. */
  async alone<T>(work: () => T): Promise<T> {
    for (let busy = 1; ; busy++) {
      this.assertOpen();
      try {
        return work();
      } catch (error) {
        if (!isBusy(error) || busy >= BUSY_ATTEMPTS) throw this.#asFailure(error);
      }
      await this.#clock.sleep(BUSY_PAUSE_MS);
    }
  }

  /** Takes nothing more; resolves when what was taken is done. */
  async close(): Promise<void> {
    this.#closed = true;
    await this.#draining;
  }

  assertOpen(): void {
    if (!this.#closed) return;
    const message = `${this.#db.name} is closed: this process is stopping.`;
    throw new StoreError('STORE_CLOSED', message);
  }

  async #drain(): Promise<void> {
    for (let busy = 0; ; ) {
      // Let the turn end first: whoever else posts in it comes along.
      await nextTurn();
      const [head] = this.#waiting;
      if (head === undefined) break;
      if (head.isAside) {
        this.#waiting.shift();
        await this.#runAside(head);
        continue;
      }
      const batch = this.#batch();
      let outcomes: readonly Outcome[];
      try {
        outcomes = this.#runBatch(batch);
      } catch (error) {
        if (isBusy(error) && ++busy < BUSY_ATTEMPTS) {
          await this.#clock.sleep(BUSY_PAUSE_MS);
          continue;
        }
        // Where there is little room, a small post may still fit when a large one doesn't.
        const split = batch.length > 1 && isFull(error, this.#db.name);
        outcomes = batch.map((job) => (split ? this.#runAlone(job) : { ok: false, error }));
      }
      busy = 0;
      this.#waiting.splice(0, batch.length);
      batch.forEach((job, i) => {
        this.#settle(job, outcomes[i] as Outcome);
      });
    }
    this.#draining = undefined;
  }

  /** What shares the next transaction. */
  #batch(): Job[] {
    const aside = this.#waiting.findIndex((job) => job.isAside);
    return this.#waiting.slice(0, aside < 0 ? JOBS_PER_COMMIT : Math.min(aside, JOBS_PER_COMMIT));
  }

  async #runAside(job: Job): Promise<void> {
    const ended = new AbortController();
    void this.#clock.sleep(PATIENCE_MS, ended.signal).then(() => {
      if (!ended.signal.aborted) this.#refuseWaiting();
    });
    try {
      job.resolve((await job.work()) as never);
    } catch (error) {
      job.reject(this.#asFailure(error));
    } finally {
      ended.abort();
      this.#isHeldUp = false;
    }
  }

  #refuseWaiting(): void {
    this.#isHeldUp = true;
    const waiting = this.#waiting.splice(0);
    this.#waiting.push(...waiting.filter((job) => job.isAside));
    for (const job of waiting) if (!job.isAside) job.reject(this.#heldUp());
  }

  #heldUp(): StoreError {
    const message = `${this.#db.name} is written anew, because something was erased, and that takes long. Nothing was stored meanwhile. Try again in a minute.`;
    return new StoreError('STORE_REWRITING', message);
  }

  /** Throws when nothing of the batch was stored. */
  #runBatch(batch: readonly Job[]): Outcome[] {
    this.#sql.begin.run();
    try {
      const outcomes = batch.map((job) => this.#runOne(job));
      this.#sql.commit.run();
      return outcomes;
    } catch (error) {
      if (this.#db.inTransaction) this.#sql.rollback.run();
      throw error;
    }
  }

  #runOne(job: Job): Outcome {
    this.#sql.save.run();
    try {
      const value = job.work();
      this.#sql.release.run();
      return { ok: true, value };
    } catch (error) {
      // A full disk or an I/O error may have ended the whole transaction: then nobody's work stands.
      if (!this.#db.inTransaction) throw error;
      this.#sql.undo.run();
      this.#sql.release.run();
      return { ok: false, error };
    }
  }

  #runAlone(job: Job): Outcome {
    try {
      return this.#runBatch([job])[0] as Outcome;
    } catch (error) {
      return { ok: false, error };
    }
  }

  #settle(job: Job, outcome: Outcome): void {
    if (outcome.ok) job.resolve(outcome.value as never);
    else job.reject(this.#asFailure(outcome.error));
  }

  #asFailure(error: unknown): unknown {
    const failure = asStoreError(error, this.#db.name);
    const code = failure instanceof StoreError ? failure.code : undefined;
    if (code === 'STORE_CORRUPT' || code === 'STORE_IO') this.#metDamage = true;
    return failure;
  }
}

function statements(db: Database) {
  return {
    begin: db.prepare('BEGIN IMMEDIATE'),
    commit: db.prepare('COMMIT'),
    rollback: db.prepare('ROLLBACK'),
    save: db.prepare('SAVEPOINT job'),
    release: db.prepare('RELEASE job'),
    undo: db.prepare('ROLLBACK TO job'),
  };
}

function nextTurn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}
