import type { Database } from 'better-sqlite3';
import type { Append, AppendResult, NewNotice, Redaction, Store } from '../port.ts';
import { fromEvent, fromNotice, type TripSql, toJson } from '../rows.ts';
import { type Seal, sealNext } from '../seal.ts';
import { sealWork } from './seals.ts';

type OpenTrip = Parameters<Store['openTrip']>;

/** Work to be run inside a transaction. */
export interface AppendWork {
  /** `seals`: of the first entries, by `sealFirst`. */
  open(row: OpenTrip[0], append: OpenTrip[1], seals: readonly Seal[]): AppendResult;
  append(append: Append): AppendResult;
  queueNotices(notices: readonly NewNotice[]): void;
}

/** Sent as one JSON array, so that one statement serves lists of any length. */
const LISTED = '(SELECT value FROM json_each(?))';

export function appendWork(db: Database): AppendWork {
  const sql = statements(db);
  const seals = sealWork(db);

  function repeated(key: string): AppendResult | undefined {
    const answer = sql.answerOf.get(key);
    return answer === undefined
      ? undefined
      : { ok: false, why: 'repeated', answer: JSON.parse(answer) };
  }

  function queueNotices(notices: readonly NewNotice[]): void {
    for (const notice of notices) sql.addNotice.run(fromNotice(notice));
  }

  function redact(trip: string, redactions: readonly Redaction[]): void {
    // Every entry needs its seal first: what is erased can't be sealed any more.
    seals.last(trip);
    for (const { seq, by, data } of redactions) {
      sql.redact.run(by.id, by.name, toJson(data), trip, seq);
    }
    sql.dropAnswers.run(trip);
    sql.dropDone.run(trip);
  }

  /** Everything but the checks. */
  function write(append: Append, made?: readonly Seal[]): AppendResult {
    const { trip } = append;
    const seq = append.afterSeq + append.events.length;
    if (append.redact !== undefined) redact(trip, append.redact);
    let prev = append.events.length === 0 ? '' : seals.last(trip);
    append.events.forEach((event, i) => {
      const seq = append.afterSeq + 1 + i;
      const seal = made?.[i] ?? sealNext({ ...event, seq }, prev);
      sql.addEvent.run(fromEvent(event, trip, seq, seal));
      prev = seal.hash;
    });
    sql.setTrip.run(seq, append.status, append.name, trip);
    sql.dropMembers.run(trip, toJson(append.members));
    for (const user of append.members) sql.addMember.run(trip, user);
    sql.dropDeadlines.run(trip, toJson(append.deadlines.map((d) => d.key)));
    for (const d of append.deadlines) {
      sql.putDeadline.run(trip, d.key, Math.round(d.dueAtMs), toJson(d.data));
    }
    sql.cancelNotices.run(trip, toJson(append.cancelNotices ?? []));
    queueNotices(append.notices);
    sql.addAnswer.run(append.key, trip, seq, toJson(append.answer));
    return { ok: true, seq };
  }

  return {
    queueNotices,

    open(row, append, seals) {
      // The repeat comes first: a repeated opening would meet its own trip in the channel.
      const before = repeated(append.key);
      if (before !== undefined) return before;
      const taken = sql.openIn.get(row.channel);
      if (taken !== undefined) return { ok: false, why: 'channel-taken', trip: taken };
      // An id drawn twice: the caller tries again with another.
      if (sql.tripOf.get(row.id) !== undefined) return { ok: false, why: 'conflict' };
      sql.addTrip.run(
        row.id,
        row.channel,
        row.guild ?? null,
        append.name,
        Math.round(row.openedAtMs),
      );
      return write({ ...append, trip: row.id, afterSeq: 0 }, seals);
    },

    append(append) {
      const before = repeated(append.key);
      if (before !== undefined) return before;
      const trip = sql.tripOf.get(append.trip);
      if (trip === undefined || trip.status === 'purged') return { ok: false, why: 'no-trip' };
      if (trip.seq !== append.afterSeq) return { ok: false, why: 'conflict' };
      const { afterId } = append;
      if (afterId !== undefined && sql.idOf.get(trip.id, trip.seq) !== afterId) {
        return { ok: false, why: 'conflict' };
      }
      const taken = append.status === 'open' ? sql.openIn.get(trip.channel) : undefined;
      if (taken !== undefined && taken !== trip.id) {
        return { ok: false, why: 'channel-taken', trip: taken };
      }
      return write(append);
    },
  };
}

function statements(db: Database) {
  return {
    answerOf: db.prepare<[string], string>('SELECT answer FROM answer WHERE key = ?').pluck(),
    tripOf: db.prepare<[string], TripSql>('SELECT * FROM trip WHERE id = ?'),
    idOf: db
      .prepare<[string, number], string>('SELECT id FROM event WHERE trip = ? AND seq = ?')
      .pluck(),
    openIn: db
      .prepare<[string], string>(`SELECT id FROM trip WHERE channel = ? AND status = 'open'`)
      .pluck(),
    addTrip: db.prepare(
      `INSERT INTO trip (id, channel, guild, name, status, seq, opened_at_ms)
     VALUES (?, ?, ?, ?, 'open', 0, ?)`,
    ),
    setTrip: db.prepare(
      `UPDATE trip SET seq = ?, status = ?, name = ?, changed = (SELECT max(changed) + 1 FROM trip)
     WHERE id = ?`,
    ),
    addEvent: db.prepare(
      `INSERT INTO event
       (trip, seq, id, kind, at_ms, recorded_at_ms, by_id, by_name, typed, data, salt, content, hash)
     VALUES
       (@trip, @seq, @id, @kind, @at_ms, @recorded_at_ms, @by_id, @by_name, @typed, @data,
        @salt, @content, @hash)`,
    ),
    redact: db.prepare(
      `UPDATE event SET by_id = ?, by_name = ?, typed = NULL, data = ?, salt = NULL
     WHERE trip = ? AND seq = ?`,
    ),
    dropAnswers: db.prepare('DELETE FROM answer WHERE trip = ?'),
    dropDone: db.prepare(`DELETE FROM notice WHERE trip = ? AND status <> 'pending'`),
    addAnswer: db.prepare('INSERT INTO answer (key, trip, seq, answer) VALUES (?, ?, ?, ?)'),
    dropMembers: db.prepare(`DELETE FROM member WHERE trip = ? AND user NOT IN ${LISTED}`),
    addMember: db.prepare('INSERT INTO member (trip, user) VALUES (?, ?) ON CONFLICT DO NOTHING'),
    dropDeadlines: db.prepare(`DELETE FROM deadline WHERE trip = ? AND key NOT IN ${LISTED}`),
    putDeadline: db.prepare(
      `INSERT INTO deadline (trip, key, due_at_ms, data) VALUES (?, ?, ?, ?)
     ON CONFLICT (trip, key) DO UPDATE SET
       due_at_ms = excluded.due_at_ms,
       data = excluded.data,
       lease_owner = NULL,
       lease_until_ms = 0,
       fired_at_ms = CASE WHEN due_at_ms = excluded.due_at_ms THEN fired_at_ms END`,
    ),
    cancelNotices: db.prepare(
      `UPDATE notice SET status = 'cancelled', lease_owner = NULL, lease_until_ms = 0
     WHERE trip = ? AND status = 'pending' AND key IN ${LISTED}`,
    ),
    addNotice: db.prepare(
      `INSERT INTO notice
       (key, trip, urgency, due_at_ms, expires_at_ms, data, nonce, status, next_try_at_ms)
     VALUES
       (@key, @trip, @urgency, @due_at_ms, @expires_at_ms, @data, @nonce, 'pending', @due_at_ms)
     ON CONFLICT (key) DO NOTHING`,
    ),
  };
}
