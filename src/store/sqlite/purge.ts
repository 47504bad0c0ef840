import type { Database } from 'better-sqlite3';

/** Work to be run inside a transaction: every row that tells of the trip's people. */
export function purgeWork(db: Database): (trip: string, atMs: number) => void {
  const drops = ['event', 'answer', 'deadline', 'notice', 'member', 'board'].map((table) =>
    db.prepare(`DELETE FROM ${table} WHERE trip = ?`),
  );
  const dropFacts = db.prepare(`DELETE FROM fact WHERE name LIKE '%:' || ? ESCAPE '\\'`);
  const blank = db.prepare(
    `UPDATE trip SET status = 'purged', name = '', channel = '', guild = NULL, seq = 0,
       changed = (SELECT max(changed) + 1 FROM trip),
       purged_at_ms = coalesce(purged_at_ms, ?) WHERE id = ?`,
  );
  return (trip, atMs) => {
    for (const drop of drops) drop.run(trip);
    dropFacts.run(trip.replace(/[\\%_]/g, '\\$&'));
    blank.run(Math.round(atMs), trip);
  };
}
