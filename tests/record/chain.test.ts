/** A record is evidence: what was altered, taken out or put elsewhere in the file is found. */
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { followChain } from '../../src/record/chain.ts';
import type { Store } from '../../src/store/port.ts';
import { openDatabase } from '../../src/store/sqlite/open.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import type { RawFact } from '../../src/trip/fact.ts';
import { ROOM } from '../helpers/room.ts';
import { append, open, storeAt, tempFolder } from '../store/help.ts';

async function chainOf(store: Store, trip = 't1') {
  return followChain(await store.sealed(trip), (await store.trip(trip))?.seq ?? 0);
}

/** A file with a trip of nine entries, two of them of one post, and another beside it; made once, copied for each test. */
const folder = mkdtempSync(join(ROOM, 'tagline-chain-'));
const made = join(folder, 'nine.db');
beforeAll(async () => {
  const store = openSqliteStore({ path: made });
  await open(store, 't1');
  await open(store, 't2');
  for (let seq = 1; seq < 7; seq++) await store.append(append('t1', seq, { events: posts(seq) }));
  await store.append(append('t1', 7, { events: [...posts(7), ...posts(8)] }));
  await store.close();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function nine() {
  const path = join(tempFolder(), 'trips.db');
  copyFileSync(made, path);
  return storeAt(path);
}

function posts(seq: number) {
  const { events } = append('t1', seq);
  return events.map((e) => ({ ...e, by: { id: 'u-pal', name: 'P\ud800l' }, typed: '14:32' }));
}

test('an untouched record holds, whoever wrote it and however', async () => {
  const { store } = nine();
  const chain = await chainOf(store);
  expect(chain).toMatchObject({ holds: true, entries: 9, erased: [] });
  expect(await chainOf(store, 't2')).toMatchObject({ holds: true, entries: 1 });
});

const TAMPERED: [string, string, number][] = [
  ['what it says', `UPDATE event SET data = '{"pitch":99}' WHERE trip = 't1' AND seq = 4`, 4],
  ['who told it', `UPDATE event SET by_name = 'Mara' WHERE trip = 't1' AND seq = 5`, 5],
  ['whose account', `UPDATE event SET by_id = 'u-x' WHERE trip = 't1' AND seq = 5`, 5],
  ['when it happened', `UPDATE event SET at_ms = at_ms + 1 WHERE trip = 't1' AND seq = 1`, 1],
  ['when it was told', `UPDATE event SET recorded_at_ms = 7 WHERE trip = 't1' AND seq = 9`, 9],
  ['the time as typed', `UPDATE event SET typed = NULL WHERE trip = 't1' AND seq = 2`, 2],
  ['its kind', `UPDATE event SET kind = 'pitch.done' WHERE trip = 't1' AND seq = 3`, 3],
  ['its id', `UPDATE event SET id = 'x' WHERE trip = 't1' AND seq = 3`, 3],
  ['an entry taken out', `DELETE FROM event WHERE trip = 't1' AND seq = 4`, 4],
  ['the first taken out', `DELETE FROM event WHERE trip = 't1' AND seq = 1`, 1],
  ['the last taken out', `DELETE FROM event WHERE trip = 't1' AND seq = 9`, 9],
  [
    'an entry taken out and the others moved up',
    `DELETE FROM event WHERE trip = 't1' AND seq = 4;
     UPDATE event SET seq = seq + 1000 WHERE trip = 't1' AND seq > 4;
     UPDATE event SET seq = seq - 1001 WHERE seq > 1000; UPDATE trip SET seq = 8 WHERE id = 't1'`,
    4,
  ],
  [
    'two that changed places',
    `UPDATE event SET seq = 100 WHERE trip = 't1' AND seq = 4;
     UPDATE event SET seq = 4 WHERE trip = 't1' AND seq = 5;
     UPDATE event SET seq = 5 WHERE trip = 't1' AND seq = 100`,
    4,
  ],
  [
    'one put in from another trip',
    `DELETE FROM event WHERE trip = 't1' AND seq = 1;
     UPDATE event SET trip = 't1' WHERE trip = 't2'`,
    2,
  ],
  [
    'content erased without a word',
    `UPDATE event SET salt = NULL WHERE trip = 't1' AND seq = 6`,
    6,
  ],
];
test.each(TAMPERED)('is found: %s', async (_, sql, seq) => {
  const { store, path } = nine();
  const { db } = openDatabase(path);
  db.exec(sql);
  db.close();
  expect(await chainOf(store)).toMatchObject({ holds: false, seq });
});

test('what was sealed anew over a false record shows in the last hash', async () => {
  const { store, path } = nine();
  const before = await chainOf(store);
  const { db } = openDatabase(path);
  db.exec(`UPDATE event SET data = '{"pitch":99}' WHERE trip = 't1' AND seq = 4;
    UPDATE event SET hash = '' WHERE trip = 't1' AND seq >= 4`);
  db.close();
  await store.append(append('t1', 9));
  const after = await chainOf(store);
  expect(after).toMatchObject({ holds: true });
  const sealed = await store.sealed('t1');
  expect(before.holds && sealed[8]?.seal.hash).not.toBe(before.holds && before.head);
});

test('entries without seals, of a process of an older release, are sealed by the next post', async () => {
  const { store, path } = nine();
  const { db } = openDatabase(path);
  db.exec(`UPDATE event SET hash = '', content = '', salt = NULL WHERE trip = 't1' AND seq > 6`);
  db.close();
  await store.append(append('t1', 9));
  expect(await chainOf(store)).toMatchObject({ holds: true, entries: 10 });
});

test('any data of any entries holds, read back from the file', async () => {
  const post = fc.record({
    data: fc.dictionary(fc.string({ unit: 'binary' }), fc.jsonValue()),
    name: fc.string({ unit: 'binary' }),
    typed: fc.option(fc.string({ unit: 'binary' }), { nil: undefined }),
    atMs: fc.double({ min: 0, max: 4e12, noNaN: true }),
  });
  let n = 0;
  const { store } = storeAt(':memory:');
  await fc.assert(
    fc.asyncProperty(fc.array(post, { maxLength: 6 }), async (posts) => {
      n += 1;
      const events = posts.map(({ name, typed, ...rest }, i) => ({
        ...{ trip: `p${n}`, id: `e${i}`, kind: 'pitch-done', recordedAtMs: 0 },
        ...{ by: { id: 'u', name }, ...rest, ...(typed === undefined ? {} : { typed }) },
      }));
      await open(store, `p${n}`, { events });
      expect(await chainOf(store, `p${n}`)).toMatchObject({ holds: true, entries: posts.length });
    }),
    { numRuns: 60 },
  );
});

test('content can be erased and the chain holds, where an entry says so', async () => {
  const { store, path } = nine();
  const before = await store.sealed('t1');
  const nobody = { id: 'erased', name: 'somebody' };
  const [, erased] = before;
  await store.append(
    append('t1', 9, {
      events: [{ ...(posts(9)[0] as RawFact), kind: 'log.erased', data: { entries: [2, 3] } }],
      redact: [2, 3].map((seq) => ({ seq, by: nobody, data: { pitch: 1 } })),
    }),
  );
  expect(await chainOf(store)).toMatchObject({ holds: true, entries: 10, erased: [2, 3] });
  const after = await store.sealed('t1');
  expect(after[1]).toMatchObject({ by: nobody, data: { pitch: 1 } });
  expect(after[1]).not.toHaveProperty('typed');
  expect(after[1]?.seal).toEqual({ content: erased?.seal.content, hash: erased?.seal.hash });
  // Not in the file and not in its log either; answers given before went as well.
  for (const name of [path, `${path}-wal`]) {
    expect(readFileSync(name).includes(erased?.seal.salt as string)).toBe(false);
  }
  expect(await store.answered('t1-i2')).toBeUndefined();
  expect(await store.answered('t1-i10')).toBeDefined();
});
