import { execFileSync } from 'node:child_process';
import { readdirSync, statfsSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import type { AppendResult, Store } from '../../src/store/port.ts';
import { openDatabase } from '../../src/store/sqlite/open.ts';
import { openSqliteStore, sqliteStore } from '../../src/store/sqlite/store.ts';
import { append, event, open, storeAt, tempFolder } from './help.ts';
import { canMount, smallDisk } from './small-disk.ts';

const FULL = { name: 'StoreError', code: 'STORE_FULL' };

function large(seq: number, bytes: number) {
  const { seq: _, ...posted } = event('t1', seq + 1, { data: 'x'.repeat(bytes) });
  return append('t1', seq, { events: [posted] });
}

/** Posts until there is no room; how many were acknowledged, the opening included. */
async function postUntilFull(store: Store, bytes: number): Promise<number> {
  for (let seq = 1; seq < 5000; seq++) {
    const result: AppendResult | Error = await store
      .append(large(seq, bytes))
      .catch((error: Error) => error);
    if (!(result instanceof Error)) continue;
    expect(result).toMatchObject(FULL);
    expect(result.message).toMatch(/Free some space/);
    return seq;
  }
  throw new Error('it never filled up');
}

it('refuses a post when the file may not grow, loses nothing, and goes on when it may', async () => {
  const path = join(tempFolder(), 'trips.db');
  const { db } = openDatabase(path);
  const store = sqliteStore(db);
  onTestFinished(() => store.close());
  await open(store, 't1');
  db.pragma('max_page_count = 60');
  const kept = await postUntilFull(store, 2000);
  expect(await store.events('t1')).toHaveLength(kept);
  expect(await store.answered(`t1-i${kept + 1}`)).toBeUndefined();
  db.pragma('max_page_count = 10000');
  expect(await store.append(large(kept, 2000))).toEqual({ ok: true, seq: kept + 1 });
});

it('still takes the small posts of a turn when a large one has no room', async () => {
  const { db } = openDatabase(join(tempFolder(), 'trips.db'));
  const store = sqliteStore(db);
  onTestFinished(() => store.close());
  await open(store, 't1');
  await open(store, 't2');
  db.pragma('max_page_count = 40');
  const settled = await Promise.allSettled([
    store.append(append('t2', 1)),
    store.append(large(1, 400_000)),
    store.append(append('t2', 2)),
  ]);
  expect(settled.map((s) => s.status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
  expect(settled[1]).toMatchObject({ reason: FULL });
  expect(await store.events('t2')).toHaveLength(3);
  expect(await store.events('t1')).toHaveLength(1);
});

it.runIf(canMount())('survives a disk that is really full (as root: a small tmpfs)', async () => {
  const disk = smallDisk(1);
  const path = join(disk, 'trips.db');
  const first = storeAt(path).store;
  await open(first, 't1');
  const kept = await postUntilFull(first, 3000);
  await expect(first.append(large(kept, 300_000))).rejects.toMatchObject(FULL);
  expect(await first.events('t1')).toHaveLength(kept);
  // The way out that the message names: room is made, from outside.
  execFileSync('mount', ['-o', 'remount,size=4m', disk]);
  expect(await first.append(large(kept, 3000))).toEqual({ ok: true, seq: kept + 1 });
  await first.close();

  // Not even room for a log: a start is refused, and changes nothing.
  const filler = join(disk, 'filler');
  const { bavail, bsize } = statfsSync(disk);
  writeFileSync(filler, Buffer.alloc(bavail * bsize));
  expect(() => openSqliteStore({ path })).toThrow(expect.objectContaining(FULL));
  const { size } = statSync(path);
  truncateSync(filler, size / 2);
  const second = storeAt(path).store;
  expect(await second.events('t1')).toHaveLength(kept + 1);
  // No room for a whole copy: nothing half stays behind.
  execFileSync('mount', ['-o', `remount,size=${Math.floor(size * 1.9)}`, disk]);
  await expect(second.backup(join(disk, 'copy.db'))).rejects.toMatchObject(FULL);
  expect(readdirSync(disk).filter((name) => name.startsWith('copy'))).toEqual([]);
});
