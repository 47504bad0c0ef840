import { expect, it } from 'vitest';
import { openDatabase } from '../../src/store/sqlite/open.ts';
import { EVERY_TICK } from '../../src/store/sqlite/watch.ts';

it.each([
  ['due', 'INDEX deadline_unfired'],
  ['claimableDue', 'INDEX deadline_unfired'],
  ['nextDue', 'INDEX deadline_ready'],
  ['nextOwn', 'INDEX deadline_leased'],
  ['nextNotice', 'INDEX notice_ready'],
  ['claimable', 'INDEX notice_pending'],
  ['queued', 'COVERING INDEX notice_pending'],
] as const)('asks %s by its index alone, without sorting', (query, index) => {
  const { db } = openDatabase(':memory:');
  const sql = EVERY_TICK[query];
  const nothing = Array.from({ length: sql.split('?').length - 1 }, () => 1);
  const plan = db
    .prepare<unknown[], { detail: string }>(`EXPLAIN QUERY PLAN ${sql}`)
    .all(...nothing);
  db.close();
  expect(plan.map((row) => row.detail)).toEqual([expect.stringContaining(index)]);
});
