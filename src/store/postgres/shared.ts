import type { Store } from '../port.ts';
import { type BoardSql, fromBoard, toBoard } from '../rows.ts';
import { clean } from './encode.ts';
import type { Link, Query } from './link.ts';

const named = (name: string, text: string): Query => ({ name, text });

const Q = {
  hold: named(
    'hold',
    `INSERT INTO lease AS l (name, owner, until_ms) VALUES ($1, $2, now_ms() + $3)
     ON CONFLICT (name) DO UPDATE SET owner = excluded.owner, until_ms = excluded.until_ms
     WHERE l.owner = excluded.owner OR l.until_ms <= now_ms() RETURNING true`,
  ),
  letGo: named('let_go', 'DELETE FROM lease WHERE name = $1 AND owner = $2'),
  gone: named(
    'gone',
    `WITH gone AS (
       DELETE FROM lease WHERE name = 'process:' || owner AND until_ms <= now_ms() RETURNING owner),
       l AS (DELETE FROM lease AS l USING gone
         WHERE l.owner = gone.owner AND l.name <> 'process:' || gone.owner),
       d AS (UPDATE deadline AS d SET lease_owner = NULL, lease_until_ms = 0 FROM gone
         WHERE d.lease_owner = gone.owner),
       n AS (UPDATE notice AS n SET lease_owner = NULL, lease_until_ms = 0 FROM gone
         WHERE n.lease_owner = gone.owner)
     SELECT owner FROM gone`,
  ),
  board: named('board', 'SELECT * FROM board WHERE trip = $1'),
  wanted: named('wanted', 'SELECT trip FROM board WHERE wanted = 1'),
  setBoard: named(
    'set_board',
    `INSERT INTO board
       (trip, posts, channel, message, pinned, wanted, shown_by, shown_at_ms, shown_seq)
     VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
     ON CONFLICT (trip) DO UPDATE SET posts = excluded.posts, channel = excluded.channel,
       message = excluded.message, pinned = excluded.pinned, wanted = excluded.wanted,
       shown_by = excluded.shown_by, shown_at_ms = excluded.shown_at_ms,
       shown_seq = excluded.shown_seq`,
  ),
  fact: named('fact', 'SELECT value FROM fact WHERE name = $1'),
  setFact: named(
    'set_fact',
    `INSERT INTO fact (name, value) VALUES ($1, $2)
     ON CONFLICT (name) DO UPDATE SET value = excluded.value`,
  ),
  dropFact: named('drop_fact', 'DELETE FROM fact WHERE name = $1'),
  newFact: named(
    'new_fact',
    'INSERT INTO fact (name, value) VALUES ($1, $2) ON CONFLICT DO NOTHING RETURNING true',
  ),
  swapFact: named(
    'swap_fact',
    'UPDATE fact SET value = $3 WHERE name = $1 AND value = $2 RETURNING true',
  ),
  keepSecret: named('keep_secret', 'INSERT INTO secret (value) VALUES ($1) ON CONFLICT DO NOTHING'),
  secret: named('secret', 'SELECT value FROM secret'),
  endFact: named('end_fact', 'DELETE FROM fact WHERE name = $1 AND value = $2 RETURNING true'),
} as const;

export type SharedPart = Pick<
  Store,
  | 'hold'
  | 'letGo'
  | 'releaseGone'
  | 'board'
  | 'setBoard'
  | 'wantedBoards'
  | 'getFact'
  | 'setFact'
  | 'swapFact'
  | 'sharedSecret'
>;

/** Boards, facts and holds. */
export function sharedPart(link: Link): SharedPart {
  const done = async (query: Query, values: unknown[]) =>
    (await link.ask(query, values)).length > 0;
  const getFact = async (name: string) =>
    (await link.ask<{ value: string }>(Q.fact, [name]))[0]?.value;

  return {
    hold: (name, owner, forMs) => done(Q.hold, [name, owner, Math.round(forMs)]),
    letGo: async (name, owner) => void (await link.ask(Q.letGo, [name, owner])),
    releaseGone: async () => (await link.ask<{ owner: string }>(Q.gone, [])).map((r) => r.owner),

    async board(trip) {
      const [row] = await link.ask<BoardSql>(Q.board, [trip]);
      return row === undefined ? undefined : toBoard(row);
    },
    async setBoard(trip, board) {
      const b = fromBoard(trip, board);
      const shown = [b.shown_by, b.shown_at_ms, b.shown_seq];
      await link.ask(Q.setBoard, [
        trip,
        b.posts,
        b.channel,
        b.message,
        b.pinned,
        b.wanted,
        ...shown,
      ]);
    },
    wantedBoards: async () => (await link.ask<{ trip: string }>(Q.wanted, [])).map((r) => r.trip),

    async sharedSecret(own) {
      await link.ask(Q.keepSecret, [own]);
      return (await link.ask<{ value: string }>(Q.secret, []))[0]?.value ?? own;
    },

    getFact,
    async setFact(name, value) {
      if (value === undefined) await link.ask(Q.dropFact, [name]);
      else await link.ask(Q.setFact, [name, clean(value)]);
    },
    async swapFact(name, was, value) {
      if (was !== undefined) {
        if (value === undefined) return done(Q.endFact, [name, was]);
        return done(Q.swapFact, [name, was, clean(value)]);
      }
      if (value !== undefined) return done(Q.newFact, [name, clean(value)]);
      return (await getFact(name)) === undefined;
    },
  };
}
