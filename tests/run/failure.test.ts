import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { DataFolderError } from '../../src/run/data-folder.ts';
import { failureText } from '../../src/run/failure.ts';
import { SettingsError } from '../../src/settings.ts';
import { StoreError } from '../../src/store/port.ts';
import { ROOM } from '../helpers/room.ts';

const folder = mkdtempSync(join(ROOM, 'tagline-failure-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function thrownBy(work: () => unknown): unknown {
  try {
    work();
  } catch (error) {
    return error;
  }
  throw new Error('nothing was thrown');
}

/** What better-sqlite3 finds its compiled part with. */
const require = createRequire(import.meta.url);
function bindings(options: object): unknown {
  return createRequire(require.resolve('better-sqlite3'))('bindings')(options);
}

test('a SQLite module that npm did not build (version 12, Node 20)', ({ skip }) => {
  if (Number(process.versions.napi) >= 10) skip();
  const error = thrownBy(() => bindings({ bindings: 'better_sqlite3.node', module_root: folder }));
  const text = failureText(error);
  expect(text).toContain('The SQLite module is missing');
  expect(text).toContain('npm rebuild better-sqlite3');
  expect(text).not.toContain('\n');
});

test('a SQLite module that npm left out', () => {
  const text = failureText(thrownBy(() => require('better-sqlite3-of-no-node')));
  expect(text).toContain('The SQLite module is missing');
  expect(text).not.toContain('\n');
});

test('a SQLite module of another Node or machine', () => {
  const path = join(folder, 'other.node');
  writeFileSync(path, 'not for us');
  const text = failureText(thrownBy(() => process.dlopen({ exports: {} }, path)));
  expect(text).toContain(`was not built for this Node (${process.version})`);
  expect(text).toContain('npm rebuild better-sqlite3');
  expect(text).not.toContain('\n');
});

test.each([
  new SettingsError('a setting'),
  new StoreError('STORE_NEWER', 'a store'),
  new DataFolderError('a folder'),
  Object.assign(new Error('a port'), { code: 'EADDRINUSE' }),
])('what is meant for the reader is said without a stack: %s', (error) => {
  expect(failureText(error)).toBe(error.message);
});

test('anything else shows where it came from', () => {
  expect(failureText(new TypeError('a fault'))).toMatch(/TypeError: a fault\n\s+at /);
  expect(failureText('thrown text')).toBe('thrown text');
});
