import type { Database } from 'better-sqlite3';
import type { Logger } from 'pino';
import { systemClock } from '../../system/clock.ts';
import type { Clock } from '../../time/clock.ts';
import type { Store } from '../port.ts';
import { toEvent, toSealed } from '../rows.ts';
import { sealFirst } from '../seal.ts';
import { tripsAbout } from './about.ts';
import { appendWork } from './append.ts';
import { backUp } from './backup.ts';
import { ChangePoll } from './changes.ts';
import { CommitQueue } from './commit.ts';
import { asStoreError } from './errors.ts';
import { leaveWhole } from './left-whole.ts';
import { openDatabase } from './open.ts';
import { inPages } from './pages.ts';
import { purgeWork } from './purge.ts';
import { reads } from './reads.ts';
import { type Rewrite, systemRewrite } from './rewriting/apart.ts';
import { Rewriting } from './rewriting/rewriting.ts';
import { SameFile } from './same-file.ts';
import { sharedWork } from './shared.ts';
import { NotFired, watchWork } from './watch.ts';

export interface SqliteOptions {
  /** Path of the file; created when missing, its folder isn't. ':memory:' is for tests: not durable. */
  path: string;
  log?: Pick<Logger, 'info' | 'error'>;
  /** By it names are held, and others' changes are looked for. */
  clock?: Clock;
}

type Parts = Pick<SqliteOptions, 'log' | 'clock'> & { rewrite?: Rewrite };

/**
 * The store in one SQLite file. Throws a StoreError when the file can't be used; it is then as it
 * was. Several processes may hold the same file.
 */
export function openSqliteStore(options: SqliteOptions): Store {
  const { db, copy } = openDatabase(options.path);
  if (copy !== undefined) {
    options.log?.info(
      { copy },
      'database brought to the newest shape; a copy of the old one is kept',
    );
  }
  return sqliteStore(db, options);
}

/** The store over a connection that `openDatabase` made. */
export function sqliteStore(db: Database, parts: Parts = {}): Store {
  const { clock = systemClock(), rewrite = systemRewrite(), log } = parts;
  const queue = new CommitQueue(db, clock);
  const file = new SameFile(db.name);
  const read = reads(db);
  const appends = appendWork(db);
  const watch = watchWork(db, appends);
  const purgeRows = purgeWork(db);
  const shared = sharedWork(db, () => clock.wallMs());
  const poll = new ChangePoll(db, clock);
  const rewriting = new Rewriting({ db, queue, file, poll, shared, clock, rewrite, log });
  const alone: CommitQueue['alone'] = (work) => queue.alone(work);
  // Work of several steps, which closing waits for: a purge must not stop half way.
  const running = new Set<Promise<void>>();
  function whole(work: () => Promise<void>): Promise<void> {
    const ends = work();
    running.add(ends);
    const forget = () => running.delete(ends);
    ends.then(forget, forget);
    return ends;
  }

  return {
    async openTrip(row, append) {
      queue.assertOpen();
      const seals = await sealFirst(append.events);
      return queue.submit(() => appends.open(row, append, seals));
    },
    async append(append) {
      if (append.redact === undefined) return queue.submit(() => appends.append(append));
      const result = await queue.submit(() => {
        const result = appends.append(append);
        if (result.ok) rewriting.owe();
        return result;
      });
      if (result.ok) await rewriting.now();
      return result;
    },
    answered: (key) => queue.alone(() => read.answered(key)),

    openTripIn: (channel) => queue.alone(() => read.openTripIn(channel)),
    trip: (id) => queue.alone(() => read.trip(id)),
    openTripsOf: (userId) => queue.alone(() => read.openTripsOf(userId)),
    closedTripsOf: (userId, guild, limit) =>
      queue.alone(() => read.closedTripsOf(userId, guild, limit)),
    lastTripIn: (channel) => queue.alone(() => read.lastTripIn(channel)),
    events: (trip, afterSeq = 0) => inPages(read.pages, alone, trip, afterSeq, toEvent),
    sealed: (trip) => inPages(read.pages, alone, trip, 0, toSealed),
    openTrips: () => queue.alone(() => read.openTrips()),
    trips: () => queue.alone(() => read.trips()),
    tripsAbout: (userId) => tripsAbout(read, alone, userId),
    purge: (trip, atMs) =>
      whole(async () => {
        await queue.submit(() => {
          rewriting.owe();
          purgeRows(trip, atMs);
        });
        await rewriting.now();
      }),

    due: (nowMs, limit) => queue.alone(() => watch.due(nowMs, limit)),
    rung: (trip) => queue.alone(() => watch.rung(trip)),
    // Where nothing is due, as nearly always, nothing is written.
    claimDue: async (claim) =>
      (await queue.alone(() => watch.due(claim.nowMs, 1))).length === 0
        ? []
        : queue.submit(() => watch.claimDue(claim)),
    nextDue: (owner) => queue.alone(() => watch.nextDue(owner)),
    fire: (fire) => queue.submit(() => watch.fire(fire)).catch(whyNotFired),
    claimNotices: (claim) => queue.submit(() => watch.claim(claim)),
    readyNotices: (nowMs) => queue.alone(() => watch.ready(nowMs)),
    recordDeliveries: (deliveries) => queue.submit(() => watch.record(deliveries)),
    notices: (trip) => queue.alone(() => read.notices(trip)),
    nextNoticeAt: () => queue.alone(() => watch.nextNoticeAt()),
    releaseLeases: (owner) =>
      queue.submit(() => {
        shared.letAllGo(owner);
        return watch.release(owner);
      }),

    hold: (name, owner, forMs) => queue.submit(() => shared.hold(name, owner, forMs)),
    letGo: (name, owner) => queue.submit(() => shared.letGo(name, owner)),
    releaseGone: () =>
      queue.submit(() => {
        const gone = shared.gone();
        for (const owner of gone) {
          shared.letAllGo(owner);
          watch.release(owner);
        }
        return gone;
      }),
    changes: (hear) => queue.alone(() => poll.hear(hear)),

    board: (trip) => queue.alone(() => shared.board(trip)),
    setBoard: (trip, board) => queue.submit(() => shared.setBoard(trip, board)),
    wantedBoards: () => queue.alone(() => shared.wantedBoards()),

    getFact: (name) => queue.alone(() => shared.fact(name)),
    setFact: (name, value) => queue.submit(() => shared.setFact(name, value)),
    swapFact: (name, was, value) => queue.submit(() => shared.swapFact(name, was, value)),

    sharedSecret: async (own) => own,

    async check(nowMs) {
      queue.assertOpen();
      if (!rewriting.isRunning) file.check();
      await queue.submit(() => shared.setFact('store.checked', String(nowMs)));
      return rewriting.trouble;
    },
    backup: (path) =>
      whole(async () => {
        queue.assertOpen();
        await backUp(db, path);
      }),
    async close() {
      await poll.close();
      await Promise.allSettled(running);
      await rewriting.close();
      await queue.close();
      const isWhole = db.open && !queue.metDamage && file.isSame();
      closeDatabase(db);
      file.close();
      if (isWhole && !db.memory) leaveWhole(db.name);
    },
  };
}

function whyNotFired(error: unknown): 'already' | 'conflict' {
  if (error instanceof NotFired) return error.why;
  throw error;
}

/** The last connection to close folds the log into the file. May be called twice. */
function closeDatabase(db: Database): void {
  try {
    db.close();
  } catch (error) {
    throw asStoreError(error, db.name);
  }
}
