import type { AppendResult, Store } from '../port.ts';
import {
  type EventSql,
  type NoticeSql,
  type TripSql,
  toEvent,
  toNotice,
  toSealed,
  toTrip,
} from '../rows.ts';
import { sealFirst } from '../seal.ts';
import { fillFile } from '../sqlite/copy.ts';
import { ChangeFeed } from './changes.ts';
import { cleanEvent, fromAppend, fromFire, json } from './encode.ts';
import { stateOf } from './errors.ts';
import type { Link, Query } from './link.ts';
import { assertKnown } from './migrate.ts';
import { MIGRATIONS } from './migrations/index.ts';
import { Order } from './order.ts';
import { readPostgres } from './reading.ts';
import { sharedPart } from './shared.ts';
import { watchPart } from './watch.ts';

const named = (name: string, text: string): Query => ({ name, text });

const Q = {
  open: named('open', 'SELECT open_trip($1::jsonb, $2::jsonb) AS result'),
  append: named('append', 'SELECT append_to_trip($1::jsonb) AS result'),
  fire: named('fire', 'SELECT fire_deadlines($1::jsonb) AS result'),
  purge: named('purge', 'SELECT purge_trip($1, $2) AS changed'),
  answered: named('answered', 'SELECT answer FROM answer WHERE key = $1'),
  wrote: named('wrote', 'SELECT 1 FROM event WHERE trip = $1 AND seq = $2 AND id = $3'),
  openIn: named('open_in', `SELECT * FROM trip WHERE channel = $1 AND status = 'open'`),
  trip: named('trip', 'SELECT * FROM trip WHERE id = $1'),
  ofUser: named(
    'of_user',
    `SELECT trip.* FROM member JOIN trip ON trip.id = member.trip
     WHERE member."user" = $1 AND trip.status = 'open' ORDER BY opened_at_ms DESC, id`,
  ),
  closedOfUser: named(
    'closed_of_user',
    `SELECT trip.* FROM member JOIN trip ON trip.id = member.trip
     WHERE member."user" = $1 AND trip.status = 'closed' AND trip.guild IS NOT DISTINCT FROM $2
     ORDER BY opened_at_ms DESC, id LIMIT $3`,
  ),
  last: named(
    'last',
    'SELECT * FROM trip WHERE channel = $1 ORDER BY opened_at_ms DESC, n DESC LIMIT 1',
  ),
  events: named('events', 'SELECT * FROM event WHERE trip = $1 AND seq > $2 ORDER BY seq'),
  openTrips: named(
    'open_trips',
    `SELECT * FROM trip WHERE status = 'open' ORDER BY opened_at_ms, id`,
  ),
  trips: named('trips', `SELECT * FROM trip WHERE status <> 'purged' ORDER BY opened_at_ms, id`),
  about: named(
    'about',
    `SELECT * FROM trip WHERE status <> 'purged' AND id IN (
       SELECT trip FROM member WHERE "user" = $1 UNION SELECT trip FROM event WHERE by_id = $1
       UNION SELECT trip FROM event WHERE kind LIKE 'roster.%' AND position($2 IN data) > 0)
     ORDER BY opened_at_ms DESC, id`,
  ),
  notices: named('notices', 'SELECT * FROM notice WHERE trip = $1 ORDER BY due_at_ms, key'),
  schema: named('schema', 'SELECT current_schema() AS name'),
  shape: named('shape', 'SELECT shape FROM tagline'),
  vacuum: named('', 'VACUUM trip, event, answer, deadline, notice, member, board, fact'),
} as const;

/** Raised by `fire_deadlines` when nothing was fired; its detail says why. */
const NOT_FIRED = 'TL001';

type Result = AppendResult & { changed?: number };

function nothing(): never {
  throw new Error('a function answered with no row');
}

/** The store over the connections to a database that has our shape. */
export function postgresStore(link: Link): Store {
  const schema = link.ask<{ name: string }>(Q.schema, []).then(([row]) => row?.name ?? '');
  const feed = new ChangeFeed(link, schema);
  const order = new Order();
  const shared = sharedPart(link);
  const first = async (query: Query, value: string) => {
    const [row] = await link.ask<TripSql>(query, [value]);
    return row === undefined ? undefined : toTrip(row);
  };
  const trips = async (query: Query, values: unknown[]) =>
    (await link.ask<TripSql>(query, values)).map(toTrip);

  /** `ours`: whether a repeat is our own first attempt, whose answer was lost with the connection. */
  async function write(
    trip: string,
    query: Query,
    values: unknown[],
    ours: () => Promise<AppendResult | undefined>,
  ): Promise<AppendResult> {
    let again = false;
    const [row] = await link.ask<{ result: Result }>(query, values, () => {
      again = true;
    });
    const { changed, ...result } = row?.result ?? nothing();
    if (changed !== undefined) feed.changed(trip, changed);
    if (result.ok || result.why !== 'repeated') return result;
    const before = again ? await ours() : undefined;
    return before ?? { ...result, answer: JSON.parse(String(result.answer)) };
  }

  async function wrote(
    trip: string,
    afterSeq: number,
    events: readonly { id: string }[],
  ): Promise<AppendResult | undefined> {
    const seq = afterSeq + events.length;
    const id = events.at(-1)?.id;
    if (id === undefined) return undefined;
    const found = await link.ask(Q.wrote, [trip, seq, id]);
    return found.length > 0 ? { ok: true, seq } : undefined;
  }

  /** What is dead now is freed to be written over. The server does it later where it can't be done now. */
  async function freeDead(): Promise<void> {
    await link.ask(Q.vacuum, []).catch(() => undefined);
  }

  return {
    ...watchPart(link),
    ...shared,

    openTrip: (row, append) =>
      order.after(row.id, async () => {
        const head = {
          id: row.id,
          channel: row.channel,
          guild: row.guild ?? null,
          opened_at_ms: Math.round(row.openedAtMs),
        };
        const whole = { ...append, trip: row.id, afterSeq: 0 };
        // A long record that is brought in whole holds nothing up.
        const seals = await sealFirst(append.events.map(cleanEvent));
        return write(row.id, Q.open, [json(head), json(fromAppend(whole, seals))], () =>
          wrote(row.id, 0, append.events),
        );
      }),
    append: (append) =>
      order.after(append.trip, async () => {
        const result = await write(append.trip, Q.append, [json(fromAppend(append))], () =>
          wrote(append.trip, append.afterSeq, append.events),
        );
        if (append.redact !== undefined) await freeDead();
        return result;
      }),
    async answered(key) {
      const [row] = await link.ask<{ answer: string }>(Q.answered, [key]);
      return row === undefined ? undefined : { answer: JSON.parse(row.answer) };
    },

    openTripIn: (channel) => first(Q.openIn, channel),
    trip: (id) => first(Q.trip, id),
    openTripsOf: (userId) => trips(Q.ofUser, [userId]),
    closedTripsOf: (userId, guild, limit) => trips(Q.closedOfUser, [userId, guild ?? null, limit]),
    lastTripIn: (channel) => first(Q.last, channel),
    async events(trip, afterSeq = 0) {
      return (await link.ask<EventSql>(Q.events, [trip, afterSeq])).map(toEvent);
    },
    async sealed(trip) {
      return (await link.ask<EventSql>(Q.events, [trip, 0])).map(toSealed);
    },
    openTrips: () => trips(Q.openTrips, []),
    trips: () => trips(Q.trips, []),
    tripsAbout: (userId) => trips(Q.about, [userId, `"userId":${JSON.stringify(userId)}`]),
    purge: (trip, atMs) =>
      order.after(trip, async () => {
        const [row] = await link.ask<{ changed: number }>(Q.purge, [trip, Math.round(atMs)]);
        feed.changed(trip, row?.changed ?? 0);
        await freeDead();
      }),

    fire: (fire) =>
      order.after(fire.trip, async () => {
        try {
          const [row] = await link.ask<{ result: Result & { why?: 'conflict' } }>(Q.fire, [
            json(fromFire(fire)),
          ]);
          const { changed, why } = row?.result ?? nothing();
          if (changed !== undefined) feed.changed(fire.trip, changed);
          return why ?? 'fired';
        } catch (error) {
          if (stateOf(error) !== NOT_FIRED) throw error;
          return (error as { detail?: string }).detail === 'conflict' ? 'conflict' : 'already';
        }
      }),
    async notices(trip) {
      return (await link.ask<NoticeSql>(Q.notices, [trip])).map(toNotice);
    },

    changes: (hear) => feed.hear(hear),

    async check(nowMs) {
      await shared.setFact('store.checked', String(nowMs));
      const [row] = await link.ask<{ shape: number }>(Q.shape, []);
      assertKnown(link.name, row?.shape ?? 0, MIGRATIONS.at(-1)?.version ?? 0);
      return undefined;
    },
    async backup(path) {
      link.assertOpen();
      await readPostgres(link, (from) => fillFile(path, from));
    },
    async close() {
      await feed.close();
      await link.close();
    },
  };
}
