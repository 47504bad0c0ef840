/** Files that are taken from under a running process, as a careless copy, a sync or a clean-up does. */
import { copyFileSync, renameSync, rmSync, truncateSync } from 'node:fs';
import { expect, it } from 'vitest';
import { storeAt } from './help.ts';

it.each([
  ['moved', (path: string) => renameSync(path, `${path}.old`)],
  ['removed', (path: string) => rmSync(path)],
  [
    'replaced',
    (path: string) => {
      copyFileSync(path, `${path}.new`);
      renameSync(`${path}.new`, path);
    },
  ],
  ['emptied', (path: string) => truncateSync(path)],
  ['robbed of its log', (path: string) => rmSync(`${path}-wal`)],
])('a file that was %s fails the check', async (_, harm) => {
  const { store, path } = storeAt();
  await store.check(1);
  await store.setFact('a', 'b');
  await store.check(2);
  harm(path);
  await expect(store.check(3)).rejects.toMatchObject({ code: 'STORE_MOVED' });
});
