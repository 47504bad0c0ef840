import type { Database } from 'better-sqlite3';
import type { NoticeRow, TripRow } from '../port.ts';
import { type EventSql, type NoticeSql, type TripSql, toNotice, toTrip } from '../rows.ts';
import type { PageReads } from './pages.ts';

/** One statement each; they see the last commit and hold no lock afterwards. */
export interface Reads {
  answered(key: string): { answer: unknown } | undefined;
  openTripIn(channel: string): TripRow | undefined;
  trip(id: string): TripRow | undefined;
  openTripsOf(userId: string): TripRow[];
  closedTripsOf(userId: string, guild: string | undefined, limit: number): TripRow[];
  lastTripIn(channel: string): TripRow | undefined;
  pages: PageReads;
  openTrips(): TripRow[];
  trips(): TripRow[];
  /** All that aren't erased, the newest first. */
  newestFirst(): TripRow[];
  /** Whether a trip keeps anything about an account: it looks through all of its entries. */
  isAbout(trip: string, userId: string): boolean;
  notices(trip: string): NoticeRow[];
}

export function reads(db: Database): Reads {
  const answer = db.prepare<[string], string>('SELECT answer FROM answer WHERE key = ?').pluck();
  const openTrip = db.prepare<[string], TripSql>(
    `SELECT * FROM trip WHERE channel = ? AND status = 'open'`,
  );
  const trip = db.prepare<[string], TripSql>('SELECT * FROM trip WHERE id = ?');
  const ofUser = db.prepare<[string], TripSql>(
    `SELECT trip.* FROM member JOIN trip ON trip.id = member.trip
     WHERE member.user = ? AND trip.status = 'open' ORDER BY opened_at_ms DESC, id`,
  );
  const closedOfUser = db.prepare<[string, string | null, number], TripSql>(
    `SELECT trip.* FROM member JOIN trip ON trip.id = member.trip
     WHERE member.user = ? AND trip.status = 'closed' AND trip.guild IS ?
     ORDER BY opened_at_ms DESC, id LIMIT ?`,
  );
  const last = db.prepare<[string], TripSql>(
    `SELECT * FROM trip WHERE channel = ? ORDER BY opened_at_ms DESC, rowid DESC LIMIT 1`,
  );
  const events = db.prepare<[string, number, number], EventSql>(
    'SELECT * FROM event WHERE trip = ? AND seq > ? ORDER BY seq LIMIT ?',
  );
  const lastSeq = db.prepare<[string], number>('SELECT seq FROM trip WHERE id = ?').pluck();
  const allOpen = db.prepare<[], TripSql>(
    `SELECT * FROM trip WHERE status = 'open' ORDER BY opened_at_ms, id`,
  );
  const all = db.prepare<[], TripSql>(
    `SELECT * FROM trip WHERE status <> 'purged' ORDER BY opened_at_ms, id`,
  );
  const newest = db.prepare<[], TripSql>(
    `SELECT * FROM trip WHERE status <> 'purged' ORDER BY opened_at_ms DESC, id`,
  );
  const about = db
    .prepare<[{ trip: string; user: string; field: string }], number>(
      `SELECT EXISTS (SELECT 1 FROM member WHERE trip = @trip AND user = @user)
         OR EXISTS (SELECT 1 FROM event WHERE trip = @trip
           AND (by_id = @user OR kind LIKE 'roster.%' AND instr(data, @field) > 0))`,
    )
    .pluck();
  const notices = db.prepare<[string], NoticeSql>(
    'SELECT * FROM notice WHERE trip = ? ORDER BY due_at_ms, key',
  );

  function answered(key: string): { answer: unknown } | undefined {
    const text = answer.get(key);
    return text === undefined ? undefined : { answer: JSON.parse(text) };
  }

  return {
    answered,
    openTripIn: (channel) => mapped(openTrip.get(channel)),
    trip: (id) => mapped(trip.get(id)),
    openTripsOf: (userId) => ofUser.all(userId).map(toTrip),
    closedTripsOf: (userId, guild, limit) =>
      closedOfUser.all(userId, guild ?? null, limit).map(toTrip),
    lastTripIn: (channel) => mapped(last.get(channel)),
    pages: {
      // SQLite takes −1 for no bound.
      entries: (id, afterSeq, most = -1) => events.all(id, afterSeq, most),
      lastSeq: (id) => lastSeq.get(id),
    },
    openTrips: () => allOpen.all().map(toTrip),
    trips: () => all.all().map(toTrip),
    newestFirst: () => newest.all().map(toTrip),
    isAbout: (trip, user) =>
      about.get({ trip, user, field: `"userId":${JSON.stringify(user)}` }) === 1,
    notices: (id) => notices.all(id).map(toNotice),
  };
}

function mapped(row: TripSql | undefined): TripRow | undefined {
  return row === undefined ? undefined : toTrip(row);
}
