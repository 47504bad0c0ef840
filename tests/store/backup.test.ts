import { readdirSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, it } from 'vitest';
import { append, DAWN_MS, open, storeAt, tempFolder } from './help.ts';

it('makes a whole copy in one file while posts go on, and replaces an older one', async () => {
  const { store } = storeAt();
  const copy = join(tempFolder(), 'copy.db');
  await open(store, 't1');
  await store.backup(copy);
  let done = false;
  const backup = store.backup(copy).then(() => {
    done = true;
  });
  let seq = 1;
  for (; !done; seq++) await store.append(append('t1', seq));
  await backup;
  expect(readdirSync(dirname(copy))).toEqual(['copy.db']);
  expect(statSync(copy).mode & 0o077).toBe(0);
  const restored = storeAt(copy).store;
  const kept = (await restored.trip('t1'))?.seq ?? 0;
  expect(kept).toBeGreaterThanOrEqual(1);
  expect(kept).toBeLessThanOrEqual(seq);
  expect(await restored.events('t1')).toHaveLength(kept);
  // The copy is a store like any other.
  expect(await restored.append(append('t1', kept))).toEqual({ ok: true, seq: kept + 1 });
});

it('closes only after a purge and a copy that were asked before', async () => {
  const { store, path } = storeAt();
  await open(store, 't1');
  const asked = [store.backup(`${path}.copy`), store.purge('t1', DAWN_MS)];
  await store.close();
  expect(await Promise.all(asked)).toEqual([undefined, undefined]);
  expect((await storeAt(path).store.trip('t1'))?.status).toBe('purged');
  await expect(store.backup(`${path}.copy`)).rejects.toMatchObject({ code: 'STORE_CLOSED' });
});

it('says why a copy could not be made, and leaves nothing half', async () => {
  const { store } = storeAt();
  const folder = tempFolder();
  const path = join(folder, 'missing', 'copy.db');
  await expect(store.backup(path)).rejects.toMatchObject({ code: 'STORE_UNREACHABLE' });
  expect(readdirSync(folder)).toEqual([]);
});
