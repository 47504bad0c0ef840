/** Files that are taken from under a running process, as a careless copy, a sync or a clean-up does. */
import {
  copyFileSync,
  existsSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
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

/** `cp` writes into the file that is there: the same inode, other contents. */
const over = (path: string, bytes: Uint8Array) => writeFileSync(path, bytes);

it.each([
  ['another database', true, (_: Uint8Array, other: Uint8Array) => other],
  ['an older copy of its own', true, (own: Uint8Array) => own],
  ['another database, before the first look,', false, (_: Uint8Array, other: Uint8Array) => other],
] as const)(
  'a file over which %s was copied fails the check, and goes on failing',
  async (_, isLooked, copy) => {
    const other = storeAt();
    await other.store.setFact('z', 'y'.repeat(50_000));
    await other.store.close();
    const { store, path } = storeAt();
    await store.close();
    const own = readFileSync(path);
    const again = storeAt(path).store;
    await again.setFact('a', 'b');
    if (isLooked) await again.check(1);
    over(path, copy(own, readFileSync(other.path)));
    for (const nowMs of [2, 3]) {
      await expect(again.check(nowMs)).rejects.toMatchObject({
        code: 'STORE_MOVED',
        message: expect.stringContaining('was written over while the bot was running'),
      });
    }
  },
);

it('a file that its own log is folded into, by itself, by another process or by a purge, passes', async () => {
  const { store, path } = storeAt();
  const second = storeAt(path).store;
  for (let i = 0; i < 40; i++) {
    // More than a thousand pages: the log is folded in on the way.
    await (i % 2 === 0 ? store : second).setFact(`f${i}`, 'x'.repeat(400_000));
    await store.check(i);
    await second.check(i);
  }
  await store.purge('none', 1);
  await store.check(100);
  await second.check(100);
  await second.close();
  await store.check(101);
});

/** Which bytes of a file this machine's processes hold locks on (proc_locks(5)). */
function locksOn(path: string): string[] {
  const inode = statSync(path).ino;
  return readFileSync('/proc/locks', 'utf8')
    .split('\n')
    .filter((line) => line.includes(`:${inode} `))
    .map((line) => line.split(' ').slice(-2).join('-'));
}

// The lock by which others see that the index of the log is in use: UNIX_SHM_DMS of SQLite's os_unix.c.
it.runIf(existsSync('/proc/locks'))(
  'a check leaves the locks as they are by which other processes see that the file is in use',
  async () => {
    const { store, path } = storeAt();
    await store.setFact('a', 'b');
    expect(locksOn(`${path}-shm`)).toEqual(['128-128']);
    await store.check(1);
    await store.check(2);
    expect(locksOn(`${path}-shm`)).toEqual(['128-128']);
  },
);
