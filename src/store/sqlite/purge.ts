import type { Database } from 'better-sqlite3';
import { BUSY_WAIT_MS } from './open.ts';

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

/**
 * Writes the file anew from what is still in it, in its log at first. secure_delete zeroes freed
 * cells and pages, but not the gaps left where SQLite moved cells between pages: of 800 purged
 * names 31 could still be read [measured, SQLite 3.53.2]; none after this. Holds the event loop
 * for about 0.6 s per 100 MB [measured].
 */
export function rewrite(db: Database): void {
  if (!db.memory) db.exec('VACUUM');
}

/** Folds the log into the file and empties it. Throws SQLITE_BUSY while another process reads. */
export function emptyLog(db: Database): void {
  const result = db.pragma('wal_checkpoint(TRUNCATE)') as [{ busy: number }];
  if (result[0].busy !== 0) throw new Busy();
}

/** The checkpoint says "busy" in a row, not by an error. */
class Busy extends Error {
  readonly code = 'SQLITE_BUSY';
  constructor() {
    super(`another connection held the log for more than ${BUSY_WAIT_MS} ms`);
  }
}
