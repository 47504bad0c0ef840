import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import { isLeftWhole, leaveWhole } from '../../src/store/sqlite/left-whole.ts';
import { APPLICATION_ID } from '../../src/store/sqlite/migrate.ts';
import { MIGRATIONS } from '../../src/store/sqlite/migrations/index.ts';
import { assertDurable, makeDurable, openDatabase } from '../../src/store/sqlite/open.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { append, open, storeAt, tempFolder } from './help.ts';

const Sqlite = sqlite();

const NEWEST = MIGRATIONS.at(-1)?.version as number;

/** What opening says, with the file's bytes held to be as before. */
function refusal(path: string): { code: unknown; message: string } {
  const before = readFileSync(path);
  let caught: unknown;
  try {
    openSqliteStore({ path });
  } catch (error) {
    caught = error;
  }
  expect(readFileSync(path)).toEqual(before);
  expect(caught).toMatchObject({ name: 'StoreError' });
  const { code, message } = caught as Error & { code: unknown };
  expect(message).toContain(path);
  return { code, message };
}

/** A file with something in it, closed. */
async function filled(): Promise<string> {
  const { store, path } = storeAt();
  await open(store, 't1');
  await Promise.all(Array.from({ length: 199 }, (_, i) => store.append(append('t1', i + 1))));
  await store.close();
  return path;
}

// sqlite.org/pragma.html: synchronous 2 is FULL; better-sqlite3 docs/performance.md: its build
// falls back to 1 (NORMAL) for a WAL file that is opened again.
it('waits for the disk on every open, the second as well as the first', () => {
  const path = join(tempFolder(), 'trips.db');
  for (const _ of ['first', 'second', 'third']) {
    const { db } = openDatabase(path);
    const pragma = (name: string) => db.pragma(name, { simple: true });
    expect(pragma('synchronous')).toBe(2);
    expect(pragma('journal_mode')).toBe('wal');
    expect(pragma('foreign_keys')).toBe(1);
    expect(pragma('secure_delete')).toBe(1);
    expect(pragma('busy_timeout')).toBeGreaterThan(0);
    expect(pragma('application_id')).toBe(APPLICATION_ID);
    expect(pragma('user_version')).toBe(NEWEST);
    db.close();
  }
  expect(statSync(path).mode & 0o077).toBe(0);
});

it('waits long for another process while opening, and only shortly once others could be held up', () => {
  const path = join(tempFolder(), 'trips.db');
  // What the connection waits while the file is made, by SQLite itself (sqlite.org/pragma.html#pragfunc).
  const sql = 'CREATE TABLE seen AS SELECT timeout FROM pragma_busy_timeout';
  const { db } = openDatabase(path, [{ version: 1, sql }]);
  expect(db.prepare('SELECT timeout FROM seen').pluck().get()).toBeGreaterThanOrEqual(5000);
  expect(db.pragma('busy_timeout', { simple: true })).toBeLessThanOrEqual(250);
  db.close();
});

it('refuses a connection that would not wait for the disk', () => {
  const path = join(tempFolder(), 'trips.db');
  openDatabase(path).db.close();
  const db = new Sqlite(path);
  onTestFinished(() => void db.close());
  db.pragma('synchronous = NORMAL');
  expect(() => assertDurable(db)).toThrow(/synchronous is 1 instead of 2/);
  makeDurable(db);
  expect(() => assertDurable(db)).not.toThrow();
});

it('has strict tables only', () => {
  const { db } = openDatabase(':memory:');
  const tables = db.pragma('table_list') as { name: string; schema: string; strict: number }[];
  const ours = tables.filter((t) => t.schema === 'main' && !t.name.startsWith('sqlite_'));
  expect(ours.length).toBeGreaterThan(5);
  expect(ours.filter((t) => t.strict !== 1)).toEqual([]);
  db.close();
});

it('refuses a file from a newer release', async () => {
  const path = await filled();
  const db = new Sqlite(path);
  db.pragma(`user_version = ${NEWEST + 1}`);
  db.close();
  const { code, message } = refusal(path);
  expect(code).toBe('STORE_NEWER');
  expect(message).toMatch(/Start the newer release/);
});

it("refuses another program's database, and a file that is none", () => {
  const path = join(tempFolder(), 'theirs.db');
  const db = new Sqlite(path);
  db.exec('CREATE TABLE recipe (name TEXT)');
  db.close();
  expect(refusal(path).code).toBe('STORE_NOT_OURS');
  const text = join(tempFolder(), 'notes.txt');
  writeFileSync(text, 'Pitch 5 done at 14:22.\n'.repeat(500));
  expect(refusal(text)).toMatchObject({ code: 'STORE_NOT_OURS' });
});

it('refuses a damaged file: overwritten in the middle, or cut short', async () => {
  const path = await filled();
  const whole = readFileSync(path);
  const holed = Buffer.from(whole);
  holed.fill(0xa5, 4096 * 3, 4096 * 8);
  writeFileSync(path, holed);
  expect(refusal(path)).toMatchObject({
    code: 'STORE_CORRUPT',
    message: expect.stringMatching(/put the newest backup in its place/),
  });
  writeFileSync(path, whole.subarray(0, Math.floor(whole.length / 2)));
  expect(refusal(path).code).toBe('STORE_CORRUPT');
  writeFileSync(path, whole);
  expect(await storeAt(path).store.events('t1')).toHaveLength(200);
});

it('reads every page after any end but an orderly one, and not after that', async () => {
  const path = await filled();
  const bytes = readFileSync(path);
  bytes.fill(0xa5, 4096 * 3, 4096 * 8);
  writeFileSync(path, bytes);
  expect(isLeftWhole(path)).toBe(false);
  expect(refusal(path).code).toBe('STORE_CORRUPT');
  // The refused opening could only read, and left this.
  rmSync(`${path}-wal`, { force: true });
  // As if it had been closed so: nobody looks for what the disk did to it since.
  leaveWhole(path);
  openDatabase(path).db.close();
});

it('notes an orderly end, and forgets it when the file is in use again', async () => {
  const path = await filled();
  expect(isLeftWhole(path)).toBe(true);
  expect(statSync(`${path}-closed`).mode & 0o777).toBe(0o600);
  const { store } = storeAt(path);
  expect(isLeftWhole(path)).toBe(false);
  expect(existsSync(`${path}-closed`)).toBe(false);
  const other = storeAt(path);
  await other.store.close();
  // Somebody has it open still.
  expect(isLeftWhole(path)).toBe(false);
  await store.close();
  expect(isLeftWhole(path)).toBe(true);
});

it('notes no orderly end for a file that was put there while another was in use', async () => {
  const path = await filled();
  const { store } = storeAt(path);
  await store.setFact('a', 'b');
  const bytes = readFileSync(path);
  bytes.fill(0xa5, 4096 * 3, 4096 * 8);
  rmSync(path);
  rmSync(`${path}-wal`);
  rmSync(`${path}-shm`);
  writeFileSync(path, bytes);
  await store.close();
  expect(isLeftWhole(path)).toBe(false);
  expect(refusal(path).code).toBe('STORE_CORRUPT');
});

it('notes no orderly end for a file in which damage was met', async () => {
  const path = await filled();
  const bytes = readFileSync(path);
  const { store } = storeAt(path);
  bytes.fill(0xa5, 4096 * 3);
  writeFileSync(path, bytes);
  await expect(store.events('t1')).rejects.toMatchObject({ code: 'STORE_CORRUPT' });
  await store.close();
  expect(isLeftWhole(path)).toBe(false);
  expect(refusal(path).code).toBe('STORE_CORRUPT');
});

it('says what is wrong with a path', () => {
  const folder = tempFolder();
  mkdirSync(join(folder, 'trips.db'));
  for (const path of ['', join(folder, 'trips.db'), join(folder, 'missing', 'trips.db')]) {
    expect(() => openSqliteStore({ path })).toThrow(
      expect.objectContaining({ code: 'STORE_UNREACHABLE' }),
    );
  }
  expect(readdirSync(folder)).toEqual(['trips.db']);
});

it.each([
  ['a file it may not write to', 0o444, 0o777],
  ['a folder it may not write to', 0o666, 0o555],
])('refuses %s, and finds all when it may', async (_, fileMode, folderMode) => {
  const path = await filled();
  chmodSync(path, fileMode);
  chmodSync(dirname(path), folderMode);
  asOrdinaryUser(() => {
    expect(() => openSqliteStore({ path })).toThrow(
      expect.objectContaining({ code: 'STORE_READ_ONLY' }),
    );
  });
  chmodSync(dirname(path), 0o777);
  for (const name of readdirSync(dirname(path))) chmodSync(join(dirname(path), name), 0o666);
  const { store } = asOrdinaryUser(() => storeAt(path));
  await store.check(1);
  expect(await store.events('t1')).toHaveLength(200);
});

/** Root may write anywhere, so as root the file is opened in the name of user 65534 (nobody). */
function asOrdinaryUser<T>(work: () => T): T {
  if (process.geteuid?.() !== 0) return work();
  process.seteuid?.(65534);
  try {
    return work();
  } finally {
    process.seteuid?.(0);
  }
}
