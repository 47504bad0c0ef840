import { chmodSync, mkdtempSync, rmSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { DataFolderError, makeDataFolder } from '../../src/run/data-folder.ts';
import { ROOM } from '../helpers/room.ts';

const folder = mkdtempSync(join(ROOM, 'tagline-data-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function refusal(path: string): string {
  try {
    makeDataFolder(path);
  } catch (error) {
    expect(error).toBeInstanceOf(DataFolderError);
    return (error as Error).message;
  }
  throw new Error(`${path} was made`);
}

test('it is made with those above it, and found again', () => {
  const path = join(folder, 'a/b/c');
  makeDataFolder(path);
  makeDataFolder(path);
  makeDataFolder(relative(process.cwd(), join(folder, 'a/d')));
  expect([path, join(folder, 'a/d')].map((p) => statSync(p).isDirectory())).toEqual([true, true]);
});

test('a link to a folder is as good as the folder', () => {
  symlinkSync(join(folder, 'a'), join(folder, 'to-a'));
  makeDataFolder(join(folder, 'to-a'));
  makeDataFolder(join(folder, 'to-a/e'));
  expect(statSync(join(folder, 'a/e')).isDirectory()).toBe(true);
});

writeFileSync(join(folder, 'file'), '');
symlinkSync(join(folder, 'nowhere/at/all'), join(folder, 'broken'));
symlinkSync(join(folder, 'circle'), join(folder, 'circle'));

test.each([
  ['file', 'a file or a broken link stands in its place or above it'],
  ['file/data/deeper', 'a file or a broken link stands in its place or above it'],
  ['broken', 'a file or a broken link stands in its place or above it'],
  ['circle/data', 'a file or a broken link stands in its place or above it'],
  ['n'.repeat(300), 'the path is too long'],
])('%s is refused with the reason and the way out', (name, reason) => {
  const path = join(folder, name);
  expect(refusal(path)).toBe(
    `The data folder ${path} can't be made: ${reason}. ` +
      'Set TAGLINE_DATA to a folder that you may write, like TAGLINE_DATA="$HOME/tagline".',
  );
});

test.skipIf(process.platform !== 'linux')('where nothing can be made it ends (Linux)', () => {
  // Node's own recursive mkdir never comes back from here.
  expect(refusal('/proc/tagline/data')).toContain(
    "can't be made: nothing can be made at that path",
  );
});

test.skipIf(process.getuid?.() === 0)('a folder of somebody else (skipped for root)', () => {
  const path = join(folder, 'theirs');
  makeDataFolder(path);
  chmodSync(path, 0o555);
  expect(refusal(path)).toContain('cannot be written to keep tagline.db: this user has no right');
  expect(refusal(join(path, 'data'))).toContain("can't be made: this user has no right");
});
