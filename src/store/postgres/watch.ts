import type { Claim, DeadlineRow, Delivery, NoticeRow, Store } from '../port.ts';
import { type DeadlineSql, type NoticeSql, toDeadline, toNotice } from '../rows.ts';
import { fromDelivery, json } from './encode.ts';
import type { Link, Query } from './link.ts';

type ClaimNotices = Parameters<Store['claimNotices']>[0];

/** Where a notice stands among those that wait. */
type Place = Pick<NoticeSql, 'key' | 'urgency' | 'due_at_ms'>;

/** Notices looked at for one claim, and at a time. */
const LOOKED_MAX = 20_000;
const PAGE = 500;

const named = (name: string, text: string): Query => ({ name, text });

const Q = {
  due: named(
    'due',
    `SELECT trip, key, due_at_ms, data FROM deadline
     WHERE fired_at_ms IS NULL AND due_at_ms <= $1 ORDER BY due_at_ms, trip, key LIMIT $2`,
  ),
  // Rows that another process is just claiming are passed over, so nobody waits for anybody.
  claimDue: named(
    'claim_due',
    `WITH free AS (
       SELECT trip, key FROM deadline
       WHERE fired_at_ms IS NULL AND due_at_ms <= $1 AND (lease_until_ms <= $1 OR lease_owner = $2)
       ORDER BY due_at_ms, trip, key LIMIT $4 FOR NO KEY UPDATE SKIP LOCKED)
     UPDATE deadline AS d SET lease_owner = $2, lease_until_ms = $3 FROM free
     WHERE d.trip = free.trip AND d.key = free.key
     RETURNING d.trip, d.key, d.due_at_ms, d.data`,
  ),
  rung: named(
    'rung',
    'SELECT trip, key, due_at_ms, data FROM deadline WHERE trip = $1 AND fired_at_ms IS NOT NULL',
  ),
  nextDue: named(
    'next_due',
    `SELECT least(
       (SELECT min(greatest(due_at_ms, lease_until_ms)) FROM deadline WHERE fired_at_ms IS NULL),
       (SELECT min(due_at_ms) FROM deadline WHERE lease_owner = $1 AND fired_at_ms IS NULL)) AS at_ms`,
  ),
  nextNotice: named(
    'next_notice',
    `SELECT min(greatest(next_try_at_ms, lease_until_ms)) AS at_ms FROM notice
     WHERE status = 'pending'`,
  ),
  claim: named(
    'claim',
    `WITH free AS (
       SELECT key FROM notice
       WHERE status = 'pending' AND next_try_at_ms <= $1 AND lease_until_ms <= $1
       ORDER BY urgency, due_at_ms, key LIMIT $4 FOR NO KEY UPDATE SKIP LOCKED)
     UPDATE notice AS n SET lease_owner = $2, lease_until_ms = $3 FROM free
     WHERE n.key = free.key RETURNING n.*`,
  ),
  ready: named(
    'ready',
    `SELECT * FROM notice
     WHERE status = 'pending' AND next_try_at_ms <= $1 AND lease_until_ms <= $1
       AND (urgency, due_at_ms, key) > ($2::integer, $3::bigint, $4::text)
     ORDER BY urgency, due_at_ms, key LIMIT $5`,
  ),
  queued: named(
    'queued',
    `SELECT key, urgency, due_at_ms FROM notice
     WHERE status = 'pending' AND next_try_at_ms <= $1 AND lease_until_ms <= $1
       AND (urgency, due_at_ms, key) > ($2::integer, $3::bigint, $4::text)
     ORDER BY urgency, due_at_ms, key LIMIT $5`,
  ),
  take: named(
    'take',
    `WITH free AS (
       SELECT key FROM notice
       WHERE key = ANY($4::text[]) AND status = 'pending' AND next_try_at_ms <= $1
         AND lease_until_ms <= $1
       FOR NO KEY UPDATE SKIP LOCKED)
     UPDATE notice AS n SET lease_owner = $2, lease_until_ms = $3 FROM free
     WHERE n.key = free.key RETURNING n.*`,
  ),
  record: named('record', 'SELECT record_deliveries($1::jsonb)'),
  release: named(
    'release',
    `WITH l AS (DELETE FROM lease WHERE owner = $1),
       d AS (UPDATE deadline SET lease_owner = NULL, lease_until_ms = 0 WHERE lease_owner = $1),
       n AS (UPDATE notice SET lease_owner = NULL, lease_until_ms = 0 WHERE lease_owner = $1 RETURNING 1)
     SELECT count(*) AS n FROM n`,
  ),
} as const;

export type WatchPart = Pick<
  Store,
  | 'due'
  | 'claimDue'
  | 'rung'
  | 'nextDue'
  | 'claimNotices'
  | 'readyNotices'
  | 'recordDeliveries'
  | 'nextNoticeAt'
  | 'releaseLeases'
>;

/** What falls due and what is to be told, but for the firing itself, which is an append too. */
export function watchPart(link: Link): WatchPart {
  const atMs = async (query: Query, values: unknown[]) =>
    (await link.ask<{ at_ms: number | null }>(query, values))[0]?.at_ms ?? undefined;

  /** Page by page in order: whole, or what a queued one is known by. */
  async function* inOrder<Row extends Place>(query: Query, nowMs: number): AsyncGenerator<Row> {
    let after: [number, number, string] = [-1, Number.MIN_SAFE_INTEGER, ''];
    for (let looked = 0; looked < LOOKED_MAX; looked += PAGE) {
      const rows = await link.ask<Row>(query, [nowMs, ...after, PAGE]);
      yield* rows;
      const last = rows.at(-1);
      if (last === undefined || rows.length < PAGE) return;
      after = [last.urgency, last.due_at_ms, last.key];
    }
  }

  async function chosen({ nowMs, limit, take }: ClaimNotices): Promise<string[]> {
    const keys: string[] = [];
    for await (const row of inOrder<Place>(Q.queued, nowMs)) {
      if (take?.(row) !== false) keys.push(row.key);
      if (keys.length >= limit) break;
    }
    return keys;
  }

  return {
    async due(nowMs, limit) {
      return (await link.ask<DeadlineSql>(Q.due, [nowMs, limit])).map(toDeadline);
    },
    async claimDue({ nowMs, owner, leaseUntilMs, limit }: Claim): Promise<DeadlineRow[]> {
      const values = [nowMs, owner, Math.round(leaseUntilMs), limit];
      return (await link.ask<DeadlineSql>(Q.claimDue, values)).map(toDeadline).sort(byDue);
    },
    async rung(trip) {
      return (await link.ask<DeadlineSql>(Q.rung, [trip])).map(toDeadline);
    },
    nextDue: (owner) => atMs(Q.nextDue, [owner ?? null]),
    async claimNotices(claim) {
      const { nowMs, owner, take } = claim;
      const until = Math.round(claim.leaseUntilMs);
      if (take === undefined) {
        const values = [nowMs, owner, until, claim.limit];
        return (await link.ask<NoticeSql>(Q.claim, values)).map(toNotice).sort(byUrgency);
      }
      const keys = await chosen(claim);
      if (keys.length === 0) return [];
      const rows = await link.ask<NoticeSql>(Q.take, [nowMs, owner, until, keys]);
      return rows.map(toNotice).sort(byUrgency);
    },
    async readyNotices(nowMs) {
      const rows: NoticeRow[] = [];
      for await (const row of inOrder<NoticeSql>(Q.ready, nowMs)) rows.push(toNotice(row));
      return rows;
    },
    async recordDeliveries(deliveries: readonly Delivery[]) {
      if (deliveries.length > 0) await link.ask(Q.record, [json(deliveries.map(fromDelivery))]);
    },
    nextNoticeAt: () => atMs(Q.nextNotice, []),
    async releaseLeases(owner) {
      return (await link.ask<{ n: number }>(Q.release, [owner]))[0]?.n ?? 0;
    },
  };
}

const byText = (a: string, b: string) => Buffer.compare(Buffer.from(a), Buffer.from(b));

function byDue(a: DeadlineRow, b: DeadlineRow): number {
  return a.dueAtMs - b.dueAtMs || byText(a.trip, b.trip) || byText(a.key, b.key);
}

function byUrgency(a: NoticeRow, b: NoticeRow): number {
  return a.urgency - b.urgency || a.dueAtMs - b.dueAtMs || byText(a.key, b.key);
}
