import type { Database } from 'better-sqlite3';
import type { Claim, DeadlineRow, Delivery, NoticeRow, Store } from '../port.ts';
import { type DeadlineSql, type NoticeSql, toDeadline, toJson, toNotice } from '../rows.ts';
import type { AppendWork } from './append.ts';

type Fire = Parameters<Store['fire']>[0];
type ClaimNotices = Parameters<Store['claimNotices']>[0];
/** What is known of a notice before it is read: a queue of any length is looked through for those that have room. */
type Queued = Pick<NoticeRow, 'key' | 'urgency'>;
type Fired = 'fired' | 'already' | 'conflict';

/** Those up to `ready` only read; the rest is work to be run inside a transaction. */
export interface WatchWork {
  due(nowMs: number, limit: number): DeadlineRow[];
  rung(trip: string): DeadlineRow[];
  nextDue(owner: string | undefined): number | undefined;
  nextNoticeAt(): number | undefined;
  ready(nowMs: number): NoticeRow[];
  fire(fire: Fire): Fired;
  claimDue(claim: Claim): DeadlineRow[];
  claim(claim: ClaimNotices): NoticeRow[];
  record(deliveries: readonly Delivery[]): void;
  release(owner: string): number;
}

/**
 * What the loop asks whether or not anything is due. A test holds each to an index of its own and
 * to no sorting, so that a tick costs the same with a hundred thousand trips as with one.
 */
export const EVERY_TICK = {
  due: `SELECT trip, key, due_at_ms, data FROM deadline
    WHERE fired_at_ms IS NULL AND due_at_ms <= ? ORDER BY due_at_ms, trip, key LIMIT ?`,
  claimableDue: `SELECT trip, key, due_at_ms, data FROM deadline
    WHERE fired_at_ms IS NULL AND due_at_ms <= ? AND (lease_until_ms <= ? OR lease_owner = ?)
    ORDER BY due_at_ms, trip, key LIMIT ?`,
  nextDue: `SELECT min(max(due_at_ms, lease_until_ms)) FROM deadline WHERE fired_at_ms IS NULL`,
  nextOwn: `SELECT min(due_at_ms) FROM deadline
    WHERE lease_owner = ? AND fired_at_ms IS NULL`,
  nextNotice: `SELECT min(max(next_try_at_ms, lease_until_ms)) FROM notice
    WHERE status = 'pending'`,
  claimable: `SELECT * FROM notice
    WHERE status = 'pending' AND next_try_at_ms <= ? AND lease_until_ms <= ?
    ORDER BY urgency, due_at_ms, key LIMIT ?`,
  queued: `SELECT key, urgency FROM notice
    WHERE status = 'pending' AND next_try_at_ms <= ? AND lease_until_ms <= ?
    ORDER BY urgency, due_at_ms, key LIMIT ?`,
} as const;

/** Notices looked at for one claim, so that a queue of any length holds nothing up. */
const LOOKED_MAX = 20_000;

/** Undoes a firing that turned out not to hold: thrown inside its savepoint, caught outside. */
export class NotFired extends Error {
  readonly why: Exclude<Fired, 'fired'>;
  constructor(why: Exclude<Fired, 'fired'>) {
    super(why);
    this.why = why;
  }
}

export function watchWork(db: Database, appends: AppendWork): WatchWork {
  const due = db.prepare<[number, number], DeadlineSql>(EVERY_TICK.due);
  const rung = db.prepare<[string], DeadlineSql>(
    'SELECT trip, key, due_at_ms, data FROM deadline WHERE trip = ? AND fired_at_ms IS NOT NULL',
  );
  const claimableDue = db.prepare<[number, number, string, number], DeadlineSql>(
    EVERY_TICK.claimableDue,
  );
  const leaseDue = db.prepare(
    'UPDATE deadline SET lease_owner = ?, lease_until_ms = ? WHERE trip = ? AND key = ?',
  );
  const nextDue = db.prepare<[], number | null>(EVERY_TICK.nextDue).pluck();
  const nextOwn = db.prepare<[string], number | null>(EVERY_TICK.nextOwn).pluck();
  const nextNotice = db.prepare<[], number | null>(EVERY_TICK.nextNotice).pluck();
  const seqOf = db.prepare<[string], number>('SELECT seq FROM trip WHERE id = ?').pluck();
  const markFired = db.prepare(
    `UPDATE deadline SET fired_at_ms = @atMs
     WHERE trip = @trip AND key = @key AND fired_at_ms IS NULL AND due_at_ms <= @atMs`,
  );
  const claimable = db.prepare<[number, number, number], NoticeSql>(EVERY_TICK.claimable);
  const queued = db.prepare<[number, number, number], Queued>(EVERY_TICK.queued);
  const noticeOf = db.prepare<[string], NoticeSql>('SELECT * FROM notice WHERE key = ?');
  const lease = db.prepare('UPDATE notice SET lease_owner = ?, lease_until_ms = ? WHERE key = ?');
  const release = ['deadline', 'notice'].map((table) =>
    db.prepare(`UPDATE ${table} SET lease_owner = NULL, lease_until_ms = 0 WHERE lease_owner = ?`),
  );

  return {
    due: (nowMs, limit) => due.all(nowMs, limit).map(toDeadline),
    rung: (trip) => rung.all(trip).map(toDeadline),
    nextDue(owner) {
      const all = [nextDue.get(), owner === undefined ? null : nextOwn.get(owner)];
      return earliest(all.map((ms) => ms ?? undefined));
    },
    nextNoticeAt: () => nextNotice.get() ?? undefined,
    ready: (nowMs) => claimable.all(nowMs, nowMs, LOOKED_MAX).map(toNotice),

    fire(fire) {
      const { trip, atMs } = fire;
      if (fire.afterSeq !== undefined && seqOf.get(trip) !== fire.afterSeq) return 'conflict';
      // Marked before the append replaces the deadlines: it may drop the very ones that fired.
      for (const key of fire.keys) {
        if (markFired.run({ trip, key, atMs }).changes === 0) throw new NotFired('already');
      }
      if (fire.append !== undefined) {
        const result = appends.append(fire.append);
        if (!result.ok) {
          const gone = result.why === 'repeated' || result.why === 'no-trip';
          throw new NotFired(gone ? 'already' : 'conflict');
        }
      }
      appends.queueNotices(fire.notices);
      return 'fired';
    },

    claimDue({ nowMs, owner, leaseUntilMs, limit }) {
      const rows = claimableDue.all(nowMs, nowMs, owner, limit);
      for (const { trip, key } of rows) leaseDue.run(owner, Math.round(leaseUntilMs), trip, key);
      return rows.map(toDeadline);
    },

    claim({ nowMs, owner, leaseUntilMs, limit, take }) {
      if (take === undefined) {
        const rows = claimable.all(nowMs, nowMs, limit);
        for (const { key } of rows) lease.run(owner, Math.round(leaseUntilMs), key);
        return rows.map(toNotice);
      }
      const keys: string[] = [];
      for (const row of queued.iterate(nowMs, nowMs, LOOKED_MAX)) {
        if (take(row)) keys.push(row.key);
        if (keys.length >= limit) break;
      }
      return keys.map((key) => {
        lease.run(owner, Math.round(leaseUntilMs), key);
        return toNotice(noticeOf.get(key) as NoticeSql);
      });
    },

    record: recordWork(db),
    release: (owner) => release.map((all) => all.run(owner).changes).at(-1) ?? 0,
  };
}

function earliest(times: readonly (number | undefined)[]): number | undefined {
  const known = times.filter((ms) => ms !== undefined);
  return known.length === 0 ? undefined : Math.min(...known);
}

function recordWork(db: Database): WatchWork['record'] {
  const sent = db.prepare(
    `UPDATE notice SET status = 'sent', sent_at_ms = ?, receipt = ?, attempts = attempts + 1,
       lease_owner = NULL, lease_until_ms = 0
     WHERE key = ? AND status <> 'sent'`,
  );
  const again = db.prepare(
    `UPDATE notice SET next_try_at_ms = ?, last_error = ?, data = coalesce(?, data),
       attempts = attempts + 1, lease_owner = NULL, lease_until_ms = 0
     WHERE key = ? AND status = 'pending'`,
  );
  const ended = db.prepare(
    `UPDATE notice SET status = ?, last_error = ?, attempts = attempts + ?,
       lease_owner = NULL, lease_until_ms = 0
     WHERE key = ? AND status = 'pending'`,
  );
  const untried = db.prepare(
    'UPDATE notice SET lease_owner = NULL, lease_until_ms = 0 WHERE key = ?',
  );
  return (deliveries) => {
    for (const { key, atMs, outcome } of deliveries) {
      switch (outcome.status) {
        case 'sent':
          sent.run(Math.round(atMs), outcome.receipt ?? null, key);
          break;
        case 'pending': {
          const data = outcome.data === undefined ? null : toJson(outcome.data);
          again.run(Math.round(outcome.nextTryAtMs), outcome.error, data, key);
          break;
        }
        case 'untried':
          untried.run(key);
          break;
        default:
          // Only a failure was an attempt; the others were given up before one.
          ended.run(outcome.status, outcome.error, outcome.status === 'failed' ? 1 : 0, key);
      }
    }
  };
}
