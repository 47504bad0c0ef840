import { createHash } from 'node:crypto';
import { readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Database } from 'better-sqlite3';
import { expect, it } from 'vitest';
import { followChain } from '../../src/record/chain.ts';
import { MIGRATIONS } from '../../src/store/sqlite/migrations/index.ts';
import type { Migration } from '../../src/store/sqlite/migrations/migration.ts';
import { openDatabase } from '../../src/store/sqlite/open.ts';
import { append, DAWN_MS, event, storeAt, tempFolder } from './help.ts';

const FIRST = MIGRATIONS.slice(0, 1);
const NEWEST = MIGRATIONS.at(-1)?.version as number;
const versionIn = (db: Database) => db.pragma('user_version', { simple: true });

/** A file as the first release left it, with rows in every table. */
function firstRelease(): string {
  const path = join(tempFolder(), 'trips.db');
  const { db } = openDatabase(path, FIRST);
  db.exec(`
    INSERT INTO trip VALUES ('t1', 'wall', 'g-1', 'Harrow Tower', 'open', 3, ${DAWN_MS});
    INSERT INTO trip VALUES ('t0', 'wall', NULL, 'Lantern Gorge', 'closed', 0, ${DAWN_MS - 1});
    INSERT INTO answer VALUES ('i-1', 't1', 1, '{"said":"opened"}');
    INSERT INTO deadline VALUES ('t1', 'down', ${DAWN_MS + 9}, '{"phase":"due"}', NULL);
    INSERT INTO deadline VALUES ('t1', 'topout', ${DAWN_MS}, '{"phase":"due"}', ${DAWN_MS});
    INSERT INTO notice VALUES ('n1', 't1', 2, ${DAWN_MS}, NULL, '{"to":"u-dana"}', 'nonce-1',
      'pending', 1, ${DAWN_MS + 5}, 'timeout', NULL, NULL);
    INSERT INTO notice VALUES ('n2', 't1', 1, ${DAWN_MS}, ${DAWN_MS + 9}, '"x"', 'nonce-2',
      'sent', 1, ${DAWN_MS}, NULL, ${DAWN_MS + 1}, 'm-1');
    INSERT INTO fact VALUES ('page-link:t1', 'm-7');
    INSERT INTO fact VALUES ('boards', '["t1"]');
    INSERT INTO fact VALUES ('board:t1',
      '{"posts":2,"pinned":true,"message":{"channel":"wall","message":"m-9"}}');
    INSERT INTO fact VALUES ('board:t0', '{"posts":1,"pinned":false}');
  `);
  const add = db.prepare(`INSERT INTO event VALUES ('t1', ?, ?, 'pitch-done', ?, ?, ?, ?, ?, ?)`);
  for (const n of [1, 2, 3]) {
    const e = event('t1', n, { by: { id: n === 3 ? 'u-mara' : 'u-greta', name: 'G' } });
    add.run(n, e.id, e.atMs, e.recordedAtMs, e.by.id, e.by.name, null, JSON.stringify(e.data));
  }
  db.close();
  return path;
}

it('opens a file of the first release, finds every row, and keeps a copy of the old one', async () => {
  const path = firstRelease();
  const { store } = storeAt(path);
  expect((await store.events('t1')).map((e) => [e.seq, e.id, e.by.id, e.data])).toEqual([
    [1, 't1-e1', 'u-greta', { pitch: 1 }],
    [2, 't1-e2', 'u-greta', { pitch: 2 }],
    [3, 't1-e3', 'u-mara', { pitch: 3 }],
  ]);
  expect(await store.openTripIn('wall')).toMatchObject({ id: 't1', seq: 3, guild: 'g-1' });
  expect(await store.trip('t0')).toMatchObject({ name: 'Lantern Gorge', status: 'closed' });
  expect(await store.answered('i-1')).toEqual({ answer: { said: 'opened' } });
  expect(await store.due(DAWN_MS * 2, 9)).toEqual([
    { trip: 't1', key: 'down', dueAtMs: DAWN_MS + 9, data: { phase: 'due' } },
  ]);
  expect(await store.notices('t1')).toMatchObject([
    { key: 'n1', status: 'pending', attempts: 1, nonce: 'nonce-1', lastError: 'timeout' },
    { key: 'n2', status: 'sent', receipt: 'm-1', expiresAtMs: DAWN_MS + 9 },
  ]);
  expect(await store.getFact('page-link:t1')).toBe('m-7');
  // Boards were facts, and one list of them.
  expect(await store.getFact('board:t1')).toBeUndefined();
  expect(await store.getFact('boards')).toBeUndefined();
  expect(await store.wantedBoards()).toEqual(['t1']);
  const message = { channel: 'wall', message: 'm-9' };
  expect(await store.board('t1')).toEqual({ posts: 2, pinned: true, wanted: true, message });
  expect(await store.board('t0')).toEqual({ posts: 1, pinned: false, wanted: false });
  // What is new works on the old rows: who posted is a member, notices can be leased.
  expect((await store.openTripsOf('u-greta')).map((t) => t.id)).toEqual(['t1']);
  const claimed = await store.claimNotices({
    nowMs: DAWN_MS + 5,
    owner: 'one',
    leaseUntilMs: DAWN_MS + 60_000,
    limit: 9,
  });
  expect(claimed.map((n) => n.key)).toEqual(['n1']);
  expect(await store.append(append('t1', 3))).toEqual({ ok: true, seq: 4 });
  // What was there is sealed as it stood.
  expect(await followChain(await store.sealed('t1'), 4)).toMatchObject({ holds: true, entries: 4 });

  const copy = openDatabase(`${path}.v1`, FIRST);
  expect(versionIn(copy.db)).toBe(1);
  expect(copy.db.prepare('SELECT count(*) FROM event').pluck().get()).toBe(3);
  copy.db.close();
});

it('leaves the old shape whole when a step fails, and never overwrites an earlier copy', () => {
  const path = firstRelease();
  const broken: Migration = { version: NEWEST + 1, sql: 'CREATE TABLE half (x); SELECT nonsense;' };
  for (const _ of ['once', 'again']) {
    expect(() => openDatabase(path, [...MIGRATIONS, broken])).toThrow(/nonsense/);
  }
  const { db } = openDatabase(path, FIRST);
  expect(versionIn(db)).toBe(1);
  expect(db.prepare('SELECT count(*) FROM notice').pluck().get()).toBe(2);
  expect(db.prepare(`SELECT name FROM sqlite_schema WHERE name = 'half'`).get()).toBeUndefined();
  db.close();
  expect(readdirSync(dirname(path)).sort()).toEqual(['trips.db', 'trips.db.v1', 'trips.db.v1-2']);
});

it('makes no copy of a new file or of one that has the newest shape', async () => {
  const { store, path } = storeAt();
  await store.close();
  await storeAt(path).store.close();
  expect(readdirSync(dirname(path)).sort()).toEqual(['trips.db', 'trips.db-closed']);
});

it('numbers its steps without gaps, and a released step stays as it was released', () => {
  expect(MIGRATIONS.map((m) => m.version)).toEqual(MIGRATIONS.map((_, i) => i + 1));
  const digests = MIGRATIONS.map((m) =>
    createHash('sha256').update(m.sql).digest('hex').slice(0, 12),
  );
  expect(digests).toEqual(RELEASED);
});

/** A step that must change after its release is a new step. */
const RELEASED: readonly string[] = [
  '2596c52ef151',
  '2b30f20cba82',
  'bc6dca419edc',
  '3ef8cec70dbf',
  '5f5ea6a04b5f',
];
