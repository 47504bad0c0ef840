import type { Database } from 'better-sqlite3';
import { type EventSql, toEvent } from '../rows.ts';
import { sealNext } from '../seal.ts';

/** Work to be run inside a transaction. */
export interface SealWork {
  /** The hash of a trip's last entry, '' for a trip without any. */
  last(trip: string): string;
  /** Seals every entry of the file that has no seal. */
  all(): void;
}

/**
 * Seals of entries that were written by a release without seals: before this one brought the file up, or by a
 * process of the old release that still runs beside it.
 */
export function sealWork(db: Database): SealWork {
  const newest = db.prepare<[string], Pick<EventSql, 'hash'>>(
    'SELECT hash FROM event WHERE trip = ? ORDER BY seq DESC LIMIT 1',
  );
  const sealedLast = db
    .prepare<[string], string>(
      `SELECT hash FROM event WHERE trip = ? AND hash <> '' ORDER BY seq DESC LIMIT 1`,
    )
    .pluck();
  const bare = db.prepare<[string], EventSql>(
    `SELECT * FROM event WHERE trip = ? AND hash = '' ORDER BY seq`,
  );
  const trips = db.prepare<[], string>(`SELECT DISTINCT trip FROM event WHERE hash = ''`).pluck();
  const put = db.prepare(
    'UPDATE event SET salt = @salt, content = @content, hash = @hash WHERE trip = @trip AND seq = @seq',
  );

  function last(trip: string): string {
    const row = newest.get(trip);
    if (row === undefined || row.hash !== '') return row?.hash ?? '';
    let prev = sealedLast.get(trip) ?? '';
    for (const sql of bare.all(trip)) {
      const seal = sealNext(toEvent(sql), prev);
      put.run({ ...seal, trip, seq: sql.seq });
      prev = seal.hash;
    }
    return prev;
  }

  return {
    last,
    all() {
      for (const trip of trips.all()) last(trip);
    },
  };
}
