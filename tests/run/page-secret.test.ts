import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { pageSecret, sharePageSecret } from '../../src/run/page-secret.ts';

function folder(): string {
  const path = mkdtempSync(join(tmpdir(), 'tagline-secret-'));
  onTestFinished(() => rmSync(path, { recursive: true, force: true }));
  return path;
}

/** A database that several bots share: the first secret given is the one. */
function shared() {
  let kept: string | undefined;
  return {
    async sharedSecret(own: string) {
      kept ??= own;
      return kept;
    },
  };
}

const hex = (path: string) => Buffer.from(pageSecret(path)).toString('hex');

test('bots on one database end with one secret, whichever had one before', async () => {
  const store = shared();
  const [one, two, three] = [folder(), folder(), folder()];
  const own = hex(one);
  const other = hex(two);
  expect(await sharePageSecret(store, one)).toBeUndefined();
  expect(await sharePageSecret(store, two)).toBe(join(two, 'page-secret.own'));
  expect(await sharePageSecret(store, three)).toBeUndefined();
  expect([one, two, three].map(hex)).toEqual([own, own, own]);
  // Nothing is lost, and nobody else on the machine can read it.
  expect(readFileSync(join(two, 'page-secret.own'), 'utf8').trim()).toBe(other);
  expect(existsSync(join(three, 'page-secret.own'))).toBe(false);
  for (const path of [one, two, three]) {
    expect(statSync(join(path, 'page-secret')).mode & 0o777).toBe(0o600);
  }
  // Started again they agree already.
  expect(await sharePageSecret(store, two)).toBeUndefined();
});

test('of two that start at one moment on one machine neither loses the secret they had', async () => {
  const store = shared();
  await sharePageSecret(store, folder());
  const path = folder();
  const before = hex(path);
  // Both have read the file, and ask for what is shared at the same moment.
  const asides = await Promise.all([sharePageSecret(store, path), sharePageSecret(store, path)]);
  const own = join(path, 'page-secret.own');
  expect(asides).toEqual([own, own]);
  expect(readFileSync(own, 'utf8').trim()).toBe(before);
  expect(statSync(own).mode & 0o777).toBe(0o600);
  // Nor is what was put aside at an earlier time written over.
  const moved = shared();
  await sharePageSecret(moved, folder());
  const second = hex(path);
  expect(await sharePageSecret(moved, path)).toBe(`${own}.2`);
  expect(readFileSync(own, 'utf8').trim()).toBe(before);
  expect(readFileSync(`${own}.2`, 'utf8').trim()).toBe(second);
});

test('where the database is a file each keeps its own', async () => {
  const path = folder();
  const own = hex(path);
  expect(
    await sharePageSecret({ sharedSecret: async (mine: string) => mine }, path),
  ).toBeUndefined();
  expect(hex(path)).toBe(own);
});
