import type { Database } from 'better-sqlite3';
import { StoreError } from '../port.ts';
import { asStoreError, isBusy, isFull } from './errors.ts';

/** More than this in one transaction would hold the event loop for too long. */
const JOBS_PER_COMMIT = 256;
/** Attempts to get the write lock, each as long as the connection's busy wait. */
export const BUSY_ATTEMPTS = 20;

export interface CommitQueue {
  /** Runs `work` inside a transaction; resolves only once it is on the disk. */
  submit<T>(work: () => T): Promise<T>;
  /** Runs `work` between transactions, again and again while it meets a busy database, bounded. */
  alone<T>(work: () => T): Promise<T>;
  /** Takes nothing more; resolves when what was taken is done. */
  close(): Promise<void>;
}

interface Job {
  work: () => unknown;
  resolve: (value: never) => void;
  reject: (reason: unknown) => void;
}

type Outcome = { ok: true; value: unknown } | { ok: false; error: unknown };

/**
 * Group commit: what is submitted in one turn of the event loop shares a transaction, so that many
 * posts wait for the disk once. Each has a savepoint of its own: one that fails takes nothing of
 * the others with it.
 */
export function commitQueue(db: Database): CommitQueue {
  const begin = db.prepare('BEGIN IMMEDIATE');
  const commit = db.prepare('COMMIT');
  const rollback = db.prepare('ROLLBACK');
  const save = db.prepare('SAVEPOINT job');
  const release = db.prepare('RELEASE job');
  const undo = db.prepare('ROLLBACK TO job');

  const waiting: Job[] = [];
  let scheduled: Promise<void> | undefined;
  let closed = false;

  function runOne(job: Job): Outcome {
    save.run();
    try {
      const value = job.work();
      release.run();
      return { ok: true, value };
    } catch (error) {
      // A full disk or an I/O error may have ended the whole transaction: then nobody's work stands.
      if (!db.inTransaction) throw error;
      undo.run();
      release.run();
      return { ok: false, error };
    }
  }

  /** Throws when nothing of the batch was stored. */
  function runBatch(batch: readonly Job[]): Outcome[] {
    begin.run();
    try {
      const outcomes = batch.map(runOne);
      commit.run();
      return outcomes;
    } catch (error) {
      if (db.inTransaction) rollback.run();
      throw error;
    }
  }

  function settle(batch: readonly Job[], outcomes: readonly Outcome[]): void {
    batch.forEach((job, i) => {
      const outcome = outcomes[i] as Outcome;
      if (outcome.ok) job.resolve(outcome.value as never);
      else job.reject(asStoreError(outcome.error, db.name));
    });
  }

  function outcomeAlone(job: Job): Outcome {
    try {
      return runBatch([job])[0] as Outcome;
    } catch (error) {
      return { ok: false, error };
    }
  }

  async function drain(): Promise<void> {
    for (let busy = 0; ; ) {
      // Let the turn end first: whoever else posts in it comes along.
      await nextTurn();
      if (waiting.length === 0) break;
      const batch = waiting.slice(0, JOBS_PER_COMMIT);
      let outcomes: readonly Outcome[];
      try {
        outcomes = runBatch(batch);
      } catch (error) {
        if (isBusy(error) && ++busy < BUSY_ATTEMPTS) continue;
        // Where there is little room, a small post may still fit when a large one doesn't.
        outcomes =
          batch.length > 1 && isFull(error, db.name)
            ? batch.map(outcomeAlone)
            : batch.map(() => ({ ok: false, error }));
      }
      busy = 0;
      waiting.splice(0, batch.length);
      settle(batch, outcomes);
    }
    scheduled = undefined;
  }

  function submit<T>(work: () => T): Promise<T> {
    if (closed) return Promise.reject(closedError(db));
    return new Promise<T>((resolve, reject) => {
      waiting.push({ work, resolve, reject });
      scheduled ??= drain();
    });
  }

  async function alone<T>(work: () => T): Promise<T> {
    if (closed) throw closedError(db);
    for (let busy = 1; ; busy++) {
      try {
        return work();
      } catch (error) {
        if (!isBusy(error) || busy >= BUSY_ATTEMPTS) throw asStoreError(error, db.name);
      }
      await nextTurn();
      if (closed) throw closedError(db);
    }
  }

  async function close(): Promise<void> {
    closed = true;
    await scheduled;
  }

  return { submit, alone, close };
}

function nextTurn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}

function closedError(db: Database): StoreError {
  return new StoreError('STORE_CLOSED', `${db.name} is closed: this process is stopping.`);
}
