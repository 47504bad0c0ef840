import { expect, it } from 'vitest';
import { openDatabase } from '../../src/store/sqlite/open.ts';
import { EVERY_TICK } from '../../src/store/sqlite/watch.ts';

it.each([
  ['due', 'deadline_unfired'],
  ['claimableDue', 'deadline_unfired'],
  ['nextDue', 'deadline_ready'],
  ['nextOwn', 'deadline_leased'],
  ['nextNotice', 'notice_ready'],
  ['claimable', 'notice_pending'],
] as const)('asks %s by its index alone, without sorting', (query, index) => {
  const { db } = openDatabase(':memory:');
  const sql = EVERY_TICK[query];
  const nothing = Array.from({ length: sql.split('?').length - 1 }, () => 1);
  const plan = db
    .prepare<unknown[], { detail: string }>(`EXPLAIN QUERY PLAN ${sql}`)
    .all(...nothing);
  db.close();
  expect(plan.map((row) => row.detail)).toEqual([expect.stringContaining(`INDEX ${index}`)]);
});
