/** What was erased leaves the bytes of the file by a thread of its own, and nobody's watch waits for that. */
import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync, statfsSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, it, onTestFinished } from 'vitest';
import type { Store } from '../../src/store/port.ts';
import { PATIENCE_MS } from '../../src/store/sqlite/commit.ts';
import { openDatabase } from '../../src/store/sqlite/open.ts';
import { type Rewrite, rewriteApart } from '../../src/store/sqlite/rewriting/apart.ts';
import { rewrite } from '../../src/store/sqlite/rewriting/rewrite.ts';
import { sqliteStore } from '../../src/store/sqlite/store.ts';
import { ManualClock } from '../helpers/clock.ts';
import { compiledRoot } from '../helpers/compiled.ts';
import { append, DAWN_MS, event, open, storeAt, tempFolder } from './help.ts';
import { canMount, smallDisk } from './small-disk.ts';

const MINUTE_MS = 60_000;

const turn = () => new Promise((resolve) => setImmediate(resolve));
async function turns(): Promise<void> {
  for (let i = 0; i < 20; i++) await turn();
}

/** Files beside the database, its log included, in which the text stands as raw bytes. */
function filesWith(path: string, text: string): string[] {
  const folder = dirname(path);
  return readdirSync(folder)
    .filter((name) => name.startsWith('trips.db'))
    .filter((name) => readFileSync(join(folder, name)).includes(text));
}

interface Asked {
  end(): void;
  fail(error: Error): void;
}

/** A store whose rewritings end when the test says so. */
function scene(path = join(tempFolder(), 'trips.db')) {
  const clock = new ManualClock();
  const asked: Asked[] = [];
  const said: string[] = [];
  const { db } = openDatabase(path);
  const store = sqliteStore(db, {
    clock,
    rewrite: () =>
      new Promise((resolve, reject) => void asked.push({ end: resolve, fail: reject })),
    log: {
      info: (text: unknown) => said.push(String(text)),
      error: (_: unknown, text = '') => said.push(text),
    },
  });
  const last = () => asked.at(-1) as Asked;
  onTestFinished(async () => {
    const closed = store.close();
    await turns();
    asked.at(-1)?.end();
    await closed;
  });
  return { store, clock, asked, said, path, last };
}

/** A store that writes anew by this. */
function storeBy(by: Rewrite, path = join(tempFolder(), 'trips.db'), clock = new ManualClock()) {
  const store = sqliteStore(openDatabase(path).db, { clock, rewrite: by });
  onTestFinished(() => store.close());
  return { store, path, clock };
}

/** Two trips told turn about, so that pages are split and gaps are left. */
async function two(store: Store): Promise<void> {
  for (const trip of ['gone', 'kept']) await open(store, trip);
  for (let seq = 1; seq < 60; seq++) {
    for (const trip of ['gone', 'kept']) await store.append(append(trip, seq, planted(trip, seq)));
  }
}

function planted(trip: string, seq: number) {
  const { seq: _, ...posted } = event(trip, seq + 1, {
    data: { note: `Mara-${trip}`.repeat(seq % 7 === 0 ? 500 : (seq * 37) % 40) },
  });
  return { events: [posted] };
}

it('the thread that ships takes what was erased out of the file and of its log', async () => {
  const entry = pathToFileURL(join(await compiledRoot(), 'dist/src/rewrite-thread.js'));
  const { store, path } = storeBy(rewriteApart(entry));
  await two(store);
  expect(filesWith(path, 'Mara-gone')).not.toEqual([]);
  const copied = store.backup(`${path}.copy`);
  await Promise.all([store.purge('gone', DAWN_MS), store.setFact('a', 'b'), copied]);
  expect(filesWith(path, 'Mara-gone').filter((name) => !name.endsWith('.copy'))).toEqual([]);
  expect(await store.events('kept')).toHaveLength(60);
  expect(await store.check(1)).toBeUndefined();
  expect(await store.append(append('kept', 60))).toEqual({ ok: true, seq: 61 });
});

it('while it is written anew all is read, and what is written waits and is then stored', async () => {
  const { store, last } = scene();
  await open(store, 't1');
  await open(store, 't2');
  const purged = store.purge('t1', DAWN_MS);
  await turns();
  expect((await store.trip('t1'))?.status).toBe('purged');
  expect(await store.events('t2')).toHaveLength(1);
  let stored = false;
  const post = store.append(append('t2', 1)).finally(() => {
    stored = true;
  });
  const checked = store.check(1);
  await turns();
  expect(stored).toBe(false);
  last().end();
  expect(await post).toEqual({ ok: true, seq: 2 });
  expect(await checked).toBeUndefined();
  await purged;
});

it('what was asked for before it began shares it, and what comes later has one of its own', async () => {
  const { store, asked, last } = scene();
  for (const trip of ['t1', 't2', 't3']) await open(store, trip);
  const first = [store.purge('t1', DAWN_MS), store.purge('t2', DAWN_MS)];
  await turns();
  const later = store.purge('t3', DAWN_MS);
  await turns();
  expect(asked).toHaveLength(1);
  last().end();
  await Promise.all(first);
  await turns();
  expect(asked).toHaveLength(2);
  last().end();
  await later;
  await turns();
  expect(asked).toHaveLength(2);
});

it('where it takes long, what is written is refused at once, until it has ended', async () => {
  const { store, clock, last, asked } = scene();
  await open(store, 't1');
  await open(store, 't2');
  const purged = store.purge('t1', DAWN_MS);
  await turns();
  const waiting = store.append(append('t2', 1));
  const refused = expect(waiting).rejects.toMatchObject({ code: 'STORE_REWRITING' });
  clock.advance(PATIENCE_MS - 1);
  await turns();
  clock.advance(1);
  await refused;
  await expect(store.check(1)).rejects.toMatchObject({ code: 'STORE_REWRITING' });
  expect(await store.due(DAWN_MS, 10)).toEqual([]);
  last().end();
  await purged;
  expect(await store.append(append('t2', 1))).toEqual({ ok: true, seq: 2 });
  expect(asked).toHaveLength(1);
  expect(clock.sleeping).toBe(0);
});

it('a failure leaves the trip erased, is said, and is made good ten minutes later', async () => {
  const { store, clock, last, asked, said } = scene();
  await open(store, 't1');
  const purged = store.purge('t1', DAWN_MS);
  await turns();
  last().fail(Object.assign(new Error('no room'), { code: 'SQLITE_FULL' }));
  await purged;
  expect((await store.trip('t1'))?.status).toBe('purged');
  expect(await store.check(1)).toBe('bytes of what was erased are still in the file (STORE_FULL)');
  expect(said).toEqual([expect.stringMatching(/still in the file; it is tried again/)]);
  clock.advance(10 * MINUTE_MS);
  await turns();
  expect(asked).toHaveLength(2);
  last().end();
  await turns();
  expect(await store.check(2)).toBeUndefined();
  expect(said.at(-1)).toBe('bytes of what was erased are gone from the file');
  expect(clock.sleeping).toBe(0);
});

it('what a process that was killed still owed is done at the next start', async () => {
  const { store, path, asked } = scene();
  await two(store);
  void store.purge('gone', DAWN_MS);
  await turns();
  expect(asked).toHaveLength(1);
  expect(filesWith(path, 'Mara-gone')).not.toEqual([]);

  const next = storeAt(path).store;
  await next.setFact('a', 'b');
  expect(filesWith(path, 'Mara-gone')).toEqual([]);
  await next.close();
  const third = scene(path);
  await third.store.setFact('a', 'c');
  expect(third.asked).toEqual([]);
});

it('closing waits for it', async () => {
  const { store, last } = scene();
  await open(store, 't1');
  const purged = store.purge('t1', DAWN_MS);
  await turns();
  let isClosed = false;
  const closed = store.close().then(() => {
    isClosed = true;
  });
  await turns();
  expect(isClosed).toBe(false);
  last().end();
  await Promise.all([purged, closed]);
});

it.each([
  ['ends without a word', 'process.exit(3)'],
  ['throws', 'throw new Error("no")'],
  ['says nothing for too long', 'setInterval(() => {}, 1000)'],
])('a thread that %s is a failure, and the store goes on', async (_, does) => {
  const entry = join(tempFolder(), 'thread.mjs');
  writeFileSync(entry, does);
  const { store } = storeBy(rewriteApart(pathToFileURL(entry), 500));
  await open(store, 't1');
  await store.purge('t1', DAWN_MS);
  expect(await store.check(1)).toMatch(/still in the file \(its thread failed\)/);
  expect(await open(store, 't2')).toEqual({ ok: true, seq: 1 });
});

it.runIf(canMount())(
  'a disk without room for it (as root: a small tmpfs) is such a failure',
  async () => {
    const disk = smallDisk(8);
    const clock = new ManualClock();
    const path = join(disk, 'trips.db');
    const first = storeAt(path).store;
    await two(first);
    for (let i = 0; i < 10; i++) await first.setFact(`f${i}`, 'x'.repeat(100_000));
    await first.close();
    const { bavail, bsize } = statfsSync(disk);
    // Room for the erasing, and not for all of the file once more.
    writeFileSync(join(disk, 'filler'), Buffer.alloc(bavail * bsize - 600_000));
    const { store } = storeBy(async (at) => rewrite(at), path, clock);
    await store.purge('gone', DAWN_MS);
    expect((await store.trip('gone'))?.status).toBe('purged');
    expect(await store.check(1)).toMatch(/still in the file \(STORE_FULL\)/);
    expect(await store.events('kept')).toHaveLength(60);
    // The room that it took is given back.
    expect(await store.append(append('kept', 60))).toEqual({ ok: true, seq: 61 });
    execFileSync('mount', ['-o', 'remount,size=16m', disk]);
    clock.advance(10 * MINUTE_MS);
    await turns();
    expect(await store.check(2)).toBeUndefined();
    expect(filesWith(path, 'Mara-gone')).toEqual([]);
  },
);
