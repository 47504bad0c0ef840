/**
 * What one to four processes do a second on one PostgreSQL database, beside bare SQL that does the least the same thing
 * needs, asked the same way in the same run. The server is Debian's, on loopback and on the disk.
 */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { tmpdir } from 'node:os';
import { fileURLToPath } from 'node:url';
import { Client } from 'pg';
import { openPostgresStore } from '../../src/store/postgres/open.ts';
import { postgresPrograms, type Server, startServer } from '../helpers/postgres.ts';
import { DAWN_MS, open } from '../store/posts.ts';
import type { Share } from './postgres-share.ts';
import type { Figure } from './store.ts';

const PROCESSES = [1, 2, 3, 4];
/** By each process. */
const POSTS = 300;
const TRIPS = 10;
/** For all of them together. */
const DUE = 2_000;
const CLAIMED = 100;
const MANY = 100_000;

export async function* benchPostgres(): AsyncGenerator<Figure> {
  const programs = postgresPrograms();
  if (programs === undefined) {
    process.stdout.write('no PostgreSQL server is installed here; left out\n');
    return;
  }
  const server = await startServer(programs, tmpdir());
  try {
    for (const n of PROCESSES) yield* shared(await server.database(), n);
    yield* manyTrips(server);
  } finally {
    await server.remove();
  }
}

async function* shared(url: string, n: number): AsyncGenerator<Figure> {
  await prepared(url, n);
  const of = n === 1 ? '1_process' : `${n}_processes`;
  for (const what of ['append', 'claim'] as const) {
    const bare = await perS(url, `bare-${what}`, n);
    const ours = await perS(url, what, n);
    const unit =
      what === 'append' ? 'one row a commit' : 'claimed a hundred at a time and fired one by one';
    const against = `${Math.round(bare)}/s by bare SQL, ${unit}`;
    const name = `postgres.${what}.${of}`;
    yield { name, value: Math.round(ours), unit: '/s', against };
    yield {
      name: `${name}.ratio`,
      value: Math.round((ours / bare) * 100) / 100,
      unit: '×',
      against,
    };
  }
}

/** An hour's ordinary things with very many trips open: nothing may grow with their number. */
async function* manyTrips(server: Server): AsyncGenerator<Figure> {
  const url = await server.database();
  await prepared(url, 1);
  const few = { posts: await perS(url, 'append', 1), tickMs: await tickMs(url) };
  const other = await server.database();
  await prepared(other, 1);
  await withClient(other, async (client) => {
    await client.query(
      `INSERT INTO trip (id, channel, name, status, seq, opened_at_ms)
       SELECT 'm' || i, 'cm' || i, 'Harrow Tower', 'open', 1, $1 FROM generate_series(1, $2) AS i`,
      [DAWN_MS, MANY],
    );
    await client.query(
      `INSERT INTO deadline (trip, key, due_at_ms, data)
       SELECT 'm' || i, 'down', $1, '{}' FROM generate_series(1, $2) AS i`,
      [DAWN_MS + 3_600_000, MANY],
    );
    await client.query('ANALYZE');
  });
  const posts = await perS(other, 'append', 1);
  const name = `postgres.${MANY}_open_trips`;
  const against = 'the same with a dozen trips';
  yield { name: `${name}.append.ratio`, value: round(posts / few.posts), unit: '×', against };
  const many = await tickMs(other);
  yield {
    name: `${name}.tick`,
    value: round(many),
    unit: 'ms',
    against: `${round(few.tickMs)} ms with a dozen`,
  };
}

/** What the loop asks when nothing is due. */
async function tickMs(url: string): Promise<number> {
  const store = await openPostgresStore({ url });
  const claim = { nowMs: DAWN_MS - 1, owner: 'bench', leaseUntilMs: DAWN_MS + 60_000, limit: 100 };
  const startMs = performance.now();
  const times = 200;
  for (let i = 0; i < times; i++) {
    if ((await store.claimDue(claim)).length > 0) throw new Error('something was due');
    await store.nextDue('bench');
    await store.nextNoticeAt();
  }
  const ms = (performance.now() - startMs) / times;
  await store.close();
  return ms;
}

/** The trips each process posts to, what is due, and the same for bare SQL. */
async function prepared(url: string, n: number): Promise<void> {
  const store = await openPostgresStore({ url });
  for (let p = 0; p < n; p++) for (const trip of tripsOf(p)) await open(store, trip);
  const deadlines = (from: number) =>
    Array.from({ length: 100 }, (_, i) => ({ key: `d${from + i}`, dueAtMs: DAWN_MS, data: {} }));
  for (let i = 0; i < DUE; i += 100) await open(store, `due-${i}`, { deadlines: deadlines(i) });
  await store.close();
  await withClient(url, async (client) => {
    await client.query('CREATE TABLE bare_post (n bigserial PRIMARY KEY, data text NOT NULL)');
    await client.query(
      'CREATE TABLE bare_due (n bigserial PRIMARY KEY, owner text, fired boolean NOT NULL DEFAULT false)',
    );
    await client.query('CREATE INDEX bare_due_free ON bare_due (n) WHERE owner IS NULL');
    await client.query('INSERT INTO bare_due (owner) SELECT NULL FROM generate_series(1, $1)', [
      DUE,
    ]);
  });
}

const tripsOf = (nth: number) => Array.from({ length: TRIPS }, (_, i) => `t${nth}-${i}`);

/** What so many processes do together, from the word to begin until the last has ended. */
async function perS(url: string, what: Share['what'], n: number): Promise<number> {
  const script = fileURLToPath(new URL('./postgres-share.js', import.meta.url));
  const count = what.endsWith('append') ? POSTS : CLAIMED;
  const children = Array.from({ length: n }, (_, nth) => {
    const share: Share = { url, nth, what, count, trips: tripsOf(nth), seq: 1 };
    return fork(script, [JSON.stringify(share)]);
  });
  const ended = Promise.all(children.map((child) => once(child, 'exit')));
  await Promise.all(children.map((child) => once(child, 'message')));
  const done = children.map((child) => once(child, 'message'));
  for (const child of children) child.send('go');
  const shares = (await Promise.all(done)).map(([share]) => share as { did: number; ms: number });
  await ended;
  const did = shares.reduce((sum, share) => sum + share.did, 0);
  const wanted = what.endsWith('append') ? n * POSTS : DUE;
  if (did !== wanted) throw new Error(`${what} by ${n}: ${did} were done, not ${wanted}`);
  return did / (Math.max(...shares.map(({ ms }) => ms)) / 1000);
}

async function withClient(url: string, use: (client: Client) => Promise<void>): Promise<void> {
  const client = new Client({ connectionString: url });
  await client.connect();
  try {
    await use(client);
  } finally {
    await client.end();
  }
}

const round = (value: number) => Math.round(value * 100) / 100;
