import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import fc from 'fast-check';
import { beforeAll, expect, it } from 'vitest';
import type { NoticeRow } from '../../src/store/port.ts';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import { openDatabase } from '../../src/store/sqlite/open.ts';
import { sqliteStore } from '../../src/store/sqlite/store.ts';
import { compiledRoot } from '../helpers/compiled.ts';
import { append, DAWN_MS, notice, open, storeAt, tempFolder } from './help.ts';

const Sqlite = sqlite();

let program = '';
beforeAll(async () => {
  program = join(await compiledRoot(), 'dist/tests/store/writer.js');
});

interface Writer {
  child: ChildProcess;
  /** Newest acknowledged seq, as far as it has been read. */
  acked: number;
  ended: Promise<{ code: number | null; signal: string | null; said: string }>;
}

/** Starts a writer; `onAck` is called after every line it prints. */
function startWriter(
  path: string,
  name: string,
  posts: number,
  onAck?: (w: Writer) => void,
): Writer {
  const child = spawn(process.execPath, [program, path, name, String(posts)], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  child.stderr.on('data', (chunk) => {
    said += chunk;
  });
  const ended = once(child, 'close').then(([code, signal]) => ({ code, signal, said }));
  const writer: Writer = { child, acked: 0, ended };
  createInterface({ input: child.stdout }).on('line', (line) => {
    const [word, seq] = line.split(' ');
    if (word !== 'done') writer.acked = Number(seq);
    onAck?.(writer);
  });
  return writer;
}

it('keeps every acknowledged post, whole, through kills at any moment', async () => {
  const path = join(tempFolder(), 'trips.db');
  // Where each kill falls: after so many acknowledgements, and so many turns of the loop later.
  const kills = fc.sample(fc.tuple(fc.nat(60), fc.nat(40)), { numRuns: 16, seed: 20310612 });
  let least = 0;
  for (const [acks, turns] of kills) {
    let seen = 0;
    const writer = startWriter(path, 'mara', 1_000_000, async ({ child }) => {
      if (++seen !== acks + 1) return;
      for (let i = 0; i < turns; i++) await new Promise((resolve) => setImmediate(resolve));
      child.kill('SIGKILL');
    });
    const { signal, said } = await writer.ended;
    expect([signal, said]).toEqual(['SIGKILL', '']);
    least = Math.max(least, writer.acked);
    // Read with a bare connection: what the file holds, not what the store makes of it.
    const db = new Sqlite(path);
    const one = (sql: string) => db.prepare(sql).pluck().get() as number;
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
    const seq = one('SELECT seq FROM trip');
    expect(seq).toBeGreaterThanOrEqual(least);
    for (const table of ['event', 'answer', 'notice']) {
      expect([table, one(`SELECT count(*) FROM ${table}`)]).toEqual([table, seq]);
    }
    expect(one('SELECT max(seq) FROM event')).toBe(seq);
    expect(one('SELECT due_at_ms FROM deadline')).toBe(DAWN_MS + seq - 1);
    db.close();
  }
  expect(least).toBeGreaterThan(100);
});

it('lets several processes write to one file at once: nothing lost, nothing double', async () => {
  const path = join(tempFolder(), 'trips.db');
  const names = ['mara', 'jonas', 'ines'];
  // All at once on a file that isn't there yet: they also race to make it.
  const writers = names.map((name) => startWriter(path, name, 240));
  for (const writer of writers)
    expect(await writer.ended).toEqual({ code: 0, signal: null, said: '' });
  const { store } = storeAt(path);
  for (const name of names) {
    const seqs = (await store.events(`t-${name}`)).map((e) => e.seq);
    expect(seqs).toEqual(Array.from({ length: 241 }, (_, i) => i + 1));
    expect(await store.notices(`t-${name}`)).toHaveLength(241);
  }
});

it('lets one of two connections fire a deadline and deliver a notice', async () => {
  const { store, path } = storeAt();
  const other = storeAt(path).store;
  const trips = Array.from({ length: 40 }, (_, i) => `t${i}`);
  const deadlines = [{ key: 'down', dueAtMs: DAWN_MS, data: null }];
  for (const trip of trips) await open(store, trip, { deadlines });
  const tick = async (from: typeof store, owner: string) => {
    const claimed: NoticeRow[] = [];
    const fired: string[] = [];
    for (const { trip } of await from.due(DAWN_MS, 1000)) {
      const notices = [notice(trip, `${trip}-due-${owner}`)];
      const result = await from.fire({ trip, keys: ['down'], atMs: DAWN_MS, notices });
      if (result === 'fired') fired.push(trip);
    }
    for (;;) {
      const lot = await from.claimNotices({ nowMs: DAWN_MS, owner, leaseUntilMs: 2e12, limit: 3 });
      if (lot.length === 0) return { fired, claimed: claimed.map((n) => n.key) };
      claimed.push(...lot);
    }
  };
  const [one, two] = await Promise.all([tick(store, 'one'), tick(other, 'two')]);
  expect([...one.fired, ...two.fired].sort()).toEqual([...trips].sort());
  const claimed = [...one.claimed, ...two.claimed];
  expect(new Set(claimed).size).toBe(claimed.length);
  expect(claimed).toHaveLength(trips.length);
});

it('waits for another process, and gives up with a clear word when it never comes free', async () => {
  const path = join(tempFolder(), 'trips.db');
  const { db } = openDatabase(path);
  // Shorter than in earnest, for the test's sake.
  db.pragma('busy_timeout = 10');
  const store = sqliteStore(db);
  await open(store, 't1');
  const holder = new Sqlite(path);
  holder.exec('BEGIN IMMEDIATE');
  const post = store.append(append('t1', 1));
  for (let i = 0; i < 3; i++) await new Promise((resolve) => setImmediate(resolve));
  holder.exec('ROLLBACK');
  expect(await post).toEqual({ ok: true, seq: 2 });

  holder.exec('BEGIN IMMEDIATE');
  await expect(store.append(append('t1', 2))).rejects.toMatchObject({
    code: 'STORE_BUSY',
    message: expect.stringMatching(/Look for a second program/),
  });
  expect(await store.events('t1')).toHaveLength(2);
  holder.exec('ROLLBACK');
  holder.close();
  expect(await store.append(append('t1', 2))).toEqual({ ok: true, seq: 3 });
  await store.close();
});
