/** The next change of a trip is decided while the one before is on its way to the disk. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, onTestFinished, test } from 'vitest';
import type { Records, Written } from '../../src/record/records.ts';
import { holdingStore } from '../../src/store/holding.ts';
import { type Append, type Store, StoreError } from '../../src/store/port.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { signWords } from '../../src/trip/signs.ts';
import { opened } from '../alarm/trip.ts';
import { quietRecords } from '../chat/fakes.ts';
import { testStore } from '../helpers/store.ts';
import { DAWN_MS } from '../store/posts.ts';

const BY = { id: 'u-mara', name: 'Mara' };

function folder(): string {
  const path = mkdtempSync(join(tmpdir(), 'tagline-ahead-'));
  onTestFinished(() => rmSync(path, { recursive: true, force: true }));
  return join(path, 'trips.db');
}

/** A trip in a store of its own; `forward` stands between the records and the store's appends. */
async function scene(forward: (append: Append, store: Store) => ReturnType<Store['append']>) {
  const path = folder();
  const inner = testStore(path);
  onTestFinished(() => inner.close());
  const { events, state } = opened('t').tell();
  const row = { id: 't', channel: 'c', openedAtMs: DAWN_MS };
  const rest = {
    members: [],
    status: 'open',
    name: state.name,
    deadlines: [],
    notices: [],
  } as const;
  await inner.openTrip(row, { key: 'open', events, answer: null, ...rest });
  const store: Store = { ...inner, append: (append) => forward(append, inner) };
  return { path, inner, records: quietRecords(store) };
}

const NOTICE = { ...{ key: 'n1', trip: 't', urgency: 0, dueAtMs: DAWN_MS }, data: {} };

const note = (n: number): Draft => ({
  kind: 'watch.ok',
  data: { how: 'radio', words: `word ${n}` },
});

function write(
  records: Records,
  n: number,
  decided: (seq: number, words: readonly string[]) => void = () => {},
): Promise<Written> {
  return records.write({
    trip: 't',
    key: `post-${n}`,
    nowMs: DAWN_MS + n * 60_000,
    by: BY,
    decide({ state }) {
      decided(
        state.seq,
        state.watch.signs.map((s) => signWords(state, s)),
      );
      return [note(n)];
    },
    answer: () => ({ n }),
  });
}

const words = async (store: Store) =>
  (await store.events('t')).flatMap((e) => (e.data as { words?: string }).words ?? []);

describe('what is decided ahead of the disk', () => {
  test('is decided on what goes before; nobody is shown or answered what isn’t stored', async () => {
    const waiting: (() => void)[] = [];
    const { records, inner } = await scene(async (append, store) => {
      await new Promise<void>((go) => waiting.push(go));
      return store.append(append);
    });
    const first = (await records.load('t'))?.state.seq ?? 0;
    const decided: number[] = [];
    let ended = 0;
    const writing = [1, 2, 3].map((n) => write(records, n, (seq) => decided.push(seq)));
    for (const one of writing) void one.then(() => ended++);
    while (waiting.length < 3) await new Promise((resolve) => setImmediate(resolve));
    expect(decided).toEqual([first, first + 1, first + 2]);
    expect((await records.load('t'))?.state.seq).toBe(first);
    expect(ended).toBe(0);
    for (const go of waiting) go();
    expect((await Promise.all(writing)).map((w) => w.outcome)).toEqual(Array(3).fill('written'));
    expect(await words(inner)).toEqual(['word 1', 'word 2', 'word 3']);
    expect((await records.load('t'))?.state.seq).toBe(first + 3);
  });

  test('is void where that fails, and is decided anew without it', async () => {
    let calls = 0;
    const { records, inner } = await scene(async (append, store) => {
      calls += 1;
      if (calls === 1) throw new StoreError('STORE_FULL', 'full');
      return store.append(append);
    });
    const decided: number[] = [];
    const results = await Promise.allSettled(
      [1, 2, 3].map((n) => write(records, n, (seq) => decided.push(seq))),
    );
    expect(results.map((r) => (r.status === 'fulfilled' ? r.value.outcome : 'failed'))).toEqual([
      'failed',
      'written',
      'written',
    ]);
    expect(await words(inner)).toEqual(['word 2', 'word 3']);
    // Once on the one that failed, once without it.
    expect(decided.filter((seq) => seq === decided[0]).length).toBeGreaterThan(1);
  });

  test('a no that rests on it is not said where it isn’t stored', async () => {
    let calls = 0;
    const { records, inner } = await scene(async (append, store) => {
      calls += 1;
      if (calls === 1) throw new StoreError('STORE_IO', 'gone');
      return store.append(append);
    });
    const depart = (n: number) =>
      records.write({
        trip: 't',
        key: `depart-${n}`,
        nowMs: DAWN_MS,
        by: BY,
        decide: () => [{ kind: 'trip.departed', data: {} }],
      });
    const [first, second] = await Promise.allSettled([depart(1), depart(2)]);
    expect(first?.status).toBe('rejected');
    expect(second).toMatchObject({ status: 'fulfilled', value: { outcome: 'written' } });
    expect((await inner.events('t')).filter((e) => e.kind === 'trip.departed')).toHaveLength(1);
  });

  test('what rings rests on nothing that could not be written, though it is held in memory itself', async () => {
    let full = true;
    let asked = () => {};
    const isAsked = new Promise<void>((go) => {
      asked = go;
    });
    let fail = () => {};
    let isFailed: Promise<void> | undefined;
    const { inner } = await scene((append, store) => store.append(append));
    const noRoom = () => new StoreError('STORE_FULL', 'full');
    const store: Store = {
      ...inner,
      append: () =>
        new Promise((_, reject) => {
          isFailed = new Promise((go) => {
            fail = () => {
              reject(noRoom());
              go();
            };
          });
          asked();
        }),
      // One after the other, as a store does what is asked of one trip.
      fire: async (fire) => {
        await isFailed;
        if (full) throw noRoom();
        return inner.fire(fire);
      },
    };
    const holding = holdingStore(store, { log: { error() {}, info() {} } });
    const records = quietRecords(holding);
    const first = (await records.load('t'))?.state.seq ?? 0;
    const post = write(records, 1);
    await isAsked;
    const ringing = records.write({
      trip: 't',
      key: 'ring',
      nowMs: DAWN_MS,
      by: BY,
      waits: false,
      rung: [],
      decide: () => [note(2)],
      derive: () => ({ deadlines: [], notices: [NOTICE] }),
    });
    for (let i = 0; i < 20; i++) await new Promise(setImmediate);
    fail();
    await expect(post).rejects.toMatchObject({ code: 'STORE_FULL' });
    expect(await ringing).toMatchObject({ outcome: 'written', before: { seq: first } });
    expect((await records.load('t'))?.state.seq).toBe(first + 1);
    // Once there is room, it is written as it was told.
    full = false;
    await holding.recordDeliveries([]);
    expect(await words(inner)).toEqual(['word 2']);
    expect((await inner.notices('t')).map((n) => n.key)).toEqual([NOTICE.key]);
  });

  test('another process in between: what rested on the lost one doesn’t take its place', async () => {
    let foreign: Promise<unknown> | undefined;
    const { path, records, inner } = await scene(async (append, store) => {
      // Just before the first is stored somebody else takes its number.
      foreign ??= elsewhere();
      await foreign;
      return store.append(append);
    });
    const elsewhere = async () => {
      const other = testStore(path);
      onTestFinished(() => other.close());
      const writing = await write(quietRecords(other, undefined, ids('x')), 9);
      expect(writing.outcome).toBe('written');
    };
    const before = (await records.load('t'))?.state.seq ?? 0;
    const seen: Record<number, readonly string[]> = {};
    const writing = [1, 2].map((n) =>
      write(records, n, (_, known) => {
        seen[n] = known;
      }),
    );
    expect((await Promise.all(writing)).map((w) => w.outcome)).toEqual(['written', 'written']);
    const all = await words(inner);
    expect([...all].sort()).toEqual(['word 1', 'word 2', 'word 9']);
    // Each was decided, in the end, on exactly what stands before it.
    for (const n of [1, 2]) {
      const before = all.slice(0, all.indexOf(`word ${n}`)).map((text) => `“${text}”`);
      expect([...(seen[n] ?? [])].sort()).toEqual(before.sort());
    }
    expect((await records.load('t'))?.state.seq).toBe(before + 3);
  });

  test('whatever fails on the way: what was answered is stored, once, and nothing else is', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.constantFrom('ok', 'ok', 'ok', 'full', 'conflict', 'late'), { maxLength: 40 }),
        fc.integer({ min: 1, max: 12 }),
        async (fates, posts) => {
          let n = 0;
          const { records, inner } = await scene(async (append, store) => {
            const fate = fates[n++];
            if (fate === 'full') throw new StoreError('STORE_FULL', 'full');
            if (fate === 'conflict') return { ok: false, why: 'conflict' };
            const result = await store.append(append);
            // The answer of the disk comes some turns later.
            if (fate === 'late') for (let i = 0; i < 3; i++) await new Promise(setImmediate);
            return result;
          });
          const results = await Promise.allSettled(
            Array.from({ length: posts }, (_, i) => write(records, i)),
          );
          const answered = results.flatMap((r, i) =>
            r.status === 'fulfilled' && r.value.outcome === 'written' ? [`word ${i}`] : [],
          );
          expect((await words(inner)).sort()).toEqual(answered.sort());
          const { state } = (await records.load('t')) ?? {};
          expect(state?.seq).toBe((await inner.trip('t'))?.seq);
          await inner.close();
        },
      ),
      { numRuns: 40 },
    );
  });
});

function ids(letter: string) {
  let n = 0;
  const next = () => `${letter}${++n}`;
  return { trip: next, event: next, reference: next };
}
