import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { followChain } from '../../../src/record/chain.ts';
import type { Store } from '../../../src/store/port.ts';
import { append, DAWN_MS, event, notice, open } from '../posts.ts';
import type { MakeDatabase } from './database.ts';

/** Long enough that it doesn't end while a slow machine runs the test. */
const LONG_MS = 3_600_000;

const names = (rows: readonly { trip: string; key: string }[]) =>
  rows.map((d) => `${d.trip} ${d.key}`);

/** What several processes on one database rely on. */
export function sharingContract(make: MakeDatabase): void {
  async function two(): Promise<[Store, Store]> {
    const database = await make();
    return [await database.store(), await database.store()];
  }

  it('gives one deadline to one owner, again to the same, and to another when the lease ends', async () => {
    const [store, other] = await two();
    const deadlines = ['a', 'b', 'c'].map((key, i) => ({ key, dueAtMs: DAWN_MS + i, data: key }));
    await open(store, 't1', { deadlines });
    const claim = (from: Store, owner: string, nowMs: number, limit = 9) =>
      from.claimDue({ nowMs, owner, leaseUntilMs: nowMs + 20_000, limit });
    expect(names(await claim(store, 'one', DAWN_MS + 2, 2))).toEqual(['t1 a', 't1 b']);
    expect(names(await claim(other, 'two', DAWN_MS + 2))).toEqual(['t1 c']);
    expect(await claim(other, 'two', DAWN_MS - 1)).toEqual([]);
    // What it couldn't handle it is given again; what others hold it waits for.
    expect(names(await claim(store, 'one', DAWN_MS + 2))).toEqual(['t1 a', 't1 b']);
    expect(await other.nextDue('one')).toBe(DAWN_MS);
    expect(await other.nextDue('two')).toBe(DAWN_MS + 2);
    expect(await other.nextDue()).toBe(DAWN_MS + 20_002);
    // An append tells all anew, so nobody holds anything of it.
    await other.append(append('t1', 1, { deadlines }));
    expect(await store.nextDue('one')).toBe(DAWN_MS);
    expect(names(await claim(other, 'two', DAWN_MS + 2))).toEqual(['t1 a', 't1 b', 't1 c']);
    expect(await claim(store, 'one', DAWN_MS + 2)).toEqual([]);
    expect(names(await claim(store, 'one', DAWN_MS + 20_002))).toEqual(['t1 a', 't1 b', 't1 c']);
    await store.releaseLeases('one');
    expect(names(await claim(other, 'two', DAWN_MS + 20_002))).toHaveLength(3);
    // Who holds it isn't asked of who fires it: what has rung has rung.
    const fire = { trip: 't1', keys: ['a'], atMs: DAWN_MS + 9, notices: [] };
    expect(await store.fire(fire)).toBe('fired');
    expect(await other.fire(fire)).toBe('already');
    expect(names(await claim(other, 'two', DAWN_MS + 20_002))).toEqual(['t1 b', 't1 c']);
  });

  it('shares out what falls due at once between owners that claim at the same moment', async () => {
    const [store, other] = await two();
    const deadlines = [{ key: 'down', dueAtMs: DAWN_MS, data: null }];
    const trips = Array.from({ length: 60 }, (_, i) => `t${i}`);
    for (const trip of trips) {
      await open(store, trip, { deadlines, notices: [notice(trip, `n-${trip}`)] });
    }
    const run = async (from: Store, owner: string) => {
      const [due, told]: string[][] = [[], []];
      const claim = { nowMs: DAWN_MS, owner, leaseUntilMs: DAWN_MS + 1, limit: 7 };
      for (let more = 1; more > 0; ) {
        const [lot, notices] = await Promise.all([from.claimDue(claim), from.claimNotices(claim)]);
        // Handled at once, or it would be given again.
        for (const { trip } of lot) {
          await from.fire({ trip, keys: ['down'], atMs: DAWN_MS, notices: [] });
          due?.push(trip);
        }
        told?.push(...notices.map((n) => n.trip));
        more = lot.length + notices.length;
      }
      return { due, told };
    };
    const [one, both] = await Promise.all([run(store, 'one'), run(other, 'two')]);
    expect([...(one.due ?? []), ...(both.due ?? [])].sort()).toEqual([...trips].sort());
    expect([...(one.told ?? []), ...(both.told ?? [])].sort()).toEqual([...trips].sort());
  });

  it('lets a name be held by one at a time', async () => {
    const [store, other] = await two();
    expect(await store.hold('board:t1', 'one', LONG_MS)).toBe(true);
    expect(await other.hold('board:t1', 'two', LONG_MS)).toBe(false);
    expect(await other.hold('board:t2', 'two', LONG_MS)).toBe(true);
    // Nobody lets go of what is somebody else's.
    await other.letGo('board:t1', 'two');
    expect(await other.hold('board:t1', 'two', LONG_MS)).toBe(false);
    expect(await store.hold('board:t1', 'one', LONG_MS)).toBe(true);
    await store.letGo('board:t1', 'one');
    // For no time at all: it has ended by the time it is asked for.
    expect(await other.hold('board:t1', 'two', 0)).toBe(true);
    expect(await store.hold('board:t1', 'one', LONG_MS)).toBe(true);
    await store.releaseLeases('one');
    const asked = await Promise.all(
      Array.from({ length: 20 }, (_, i) => (i % 2 ? store : other).hold('x', `o${i}`, LONG_MS)),
    );
    expect(asked.filter(Boolean)).toHaveLength(1);
  });

  it('takes from processes that are gone what they had, and nothing from others', async () => {
    const [store, other] = await two();
    await open(store, 't1', {
      deadlines: [{ key: 'down', dueAtMs: DAWN_MS, data: null }],
      notices: [notice('t1', 'n1')],
    });
    const claim = { nowMs: DAWN_MS, leaseUntilMs: DAWN_MS + LONG_MS, limit: 9 };
    await store.claimDue({ ...claim, owner: 'dead' });
    await store.claimNotices({ ...claim, owner: 'dead' });
    await store.hold('board:t1', 'dead', LONG_MS);
    // Of whom nobody knows whether it lives: its leases run out by themselves.
    await store.hold('board:t2', 'stranger', LONG_MS);
    await other.hold('process:alive', 'alive', LONG_MS);
    await other.hold('board:t3', 'alive', LONG_MS);
    await store.hold('process:dead', 'dead', LONG_MS);
    expect(await other.releaseGone()).toEqual([]);
    expect(await other.claimDue({ ...claim, owner: 'alive' })).toEqual([]);
    await store.hold('process:dead', 'dead', 0);
    expect(await other.releaseGone()).toEqual(['dead']);
    expect(await other.releaseGone()).toEqual([]);
    expect(await other.claimDue({ ...claim, owner: 'alive' })).toHaveLength(1);
    expect(await other.claimNotices({ ...claim, owner: 'alive' })).toHaveLength(1);
    const held = ['board:t1', 'board:t2', 'board:t3'].map((n) => other.hold(n, 'new', LONG_MS));
    expect(await Promise.all(held)).toEqual([true, false, false]);
  });

  it('tells one store of the trips that another changes', async () => {
    const [store, other] = await two();
    await open(store, 't0');
    const heard: string[] = [];
    let wake = () => {};
    const stop = await store.changes((trip) => {
      heard.push(trip);
      wake();
    });
    const hears = async (trip: string) => {
      while (!heard.includes(trip)) {
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      }
    };
    await open(other, 't1');
    await hears('t1');
    await other.append(append('t0', 1));
    await hears('t0');
    heard.length = 0;
    await other.purge('t1', DAWN_MS);
    await hears('t1');
    await stop();
    heard.length = 0;
    // Somebody else still listens: what it has heard, the one who stopped would have heard too.
    const again = await store.changes(() => wake());
    await other.append(append('t0', 2));
    await new Promise<void>((resolve) => {
      wake = resolve;
    });
    expect(heard).toEqual([]);
    await again();
  });

  it('keeps every board when two stores write them at the same time', async () => {
    const [store, other] = await two();
    const trips = Array.from({ length: 40 }, (_, i) => `t${i}`);
    await Promise.all(
      trips.map((trip, i) =>
        (i % 2 ? store : other).setBoard(trip, { posts: i, pinned: i % 3 === 0, wanted: true }),
      ),
    );
    expect((await store.wantedBoards()).sort()).toEqual([...trips].sort());
    const whole = {
      posts: 2,
      message: { channel: 'c1', message: 'm1' },
      pinned: true,
      wanted: false,
      shown: { by: 'one', atMs: DAWN_MS, seq: 7 },
    };
    await store.setBoard('t1', whole);
    expect(await other.board('t1')).toEqual(whole);
    expect(await other.board('t3')).toEqual({ posts: 3, pinned: true, wanted: true });
    expect(await other.board('none')).toBeUndefined();
    expect(await other.wantedBoards()).toHaveLength(39);
  });

  it('has one secret, the first that was given, or leaves each its own; no copy holds it', async () => {
    const [store, other] = await two();
    const [mine, theirs] = ['a'.repeat(64), 'b'.repeat(64)];
    expect(await store.sharedSecret(mine)).toBe(mine);
    const kept = await other.sharedSecret(theirs);
    expect([mine, theirs]).toContain(kept);
    expect(await other.sharedSecret(theirs)).toBe(kept);
    expect(await store.sharedSecret(mine)).toBe(mine);
    const folder = mkdtempSync(join(tmpdir(), 'tagline-copy-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    await store.backup(join(folder, 'copy.db'));
    expect(readFileSync(join(folder, 'copy.db')).includes(mine)).toBe(false);
  });

  it('changes a fact only as long as it is what it was', async () => {
    const [store, other] = await two();
    expect(await store.swapFact('list', undefined, '1')).toBe(true);
    expect(await other.swapFact('list', undefined, '2')).toBe(false);
    expect(await other.swapFact('list', '1', '2')).toBe(true);
    expect(await store.getFact('list')).toBe('2');
    // Twenty at once, each adding one: every one of them is counted.
    const add = async (from: Store): Promise<void> => {
      const was = await from.getFact('list');
      if (!(await from.swapFact('list', was, String(Number(was) + 1)))) return add(from);
    };
    await Promise.all(Array.from({ length: 20 }, (_, i) => add(i % 2 ? store : other)));
    expect(await store.getFact('list')).toBe('22');
    expect(await store.swapFact('list', '22', undefined)).toBe(true);
    expect(await other.getFact('list')).toBeUndefined();
    const first = await Promise.all(
      [store, other].map((from, i) => from.swapFact('name', undefined, String(i))),
    );
    expect(first.filter(Boolean)).toHaveLength(1);
  });

  it('lets one of two stores win that write to one trip, open one channel or one key', async () => {
    const [store, other] = await two();
    await open(store, 't1');
    const race = await Promise.all([
      store.append(append('t1', 1, { key: 'i-a' })),
      other.append(append('t1', 1, { key: 'i-b', events: [{ ...event('t1', 2), id: 'b' }] })),
    ]);
    expect(race.filter((r) => r.ok)).toHaveLength(1);
    expect(race.filter((r) => !r.ok)).toEqual([{ ok: false, why: 'conflict' }]);
    const opened = await Promise.all([
      open(store, 't2', {}, 'wall'),
      open(other, 't3', {}, 'wall'),
    ]);
    expect(opened.filter((r) => r.ok)).toHaveLength(1);
    expect(opened.find((r) => !r.ok)).toMatchObject({ why: 'channel-taken' });
    const keyed = await Promise.all([
      store.append(append('t1', 2, { key: 'i-same', answer: 'one' })),
      other.append(append('t1', 2, { key: 'i-same', answer: 'two' })),
    ]);
    const answer = (await store.answered('i-same'))?.answer;
    expect(keyed.filter((r) => r.ok)).toHaveLength(1);
    expect(keyed.find((r) => !r.ok)).toEqual({ ok: false, why: 'repeated', answer });
    expect(await store.events('t1')).toHaveLength(3);
  });

  it('keeps any text that people and their chats send', async () => {
    const [store, other] = await two();
    // U+0000 and half a surrogate pair: JSON can carry them (RFC 8259, 7 and 8.2).
    const odd = 'Pål \u0000 \ud83e\udda7 \ud800 "quoted" \\ {a,b} \'; --';
    const told = {
      ...event('t1', 2, { data: { note: odd, deep: [odd, null, 1.5] } }),
      typed: '-10m',
    };
    await open(store, 't1');
    await store.append(
      append('t1', 1, {
        events: [told],
        answer: { odd },
        deadlines: [{ key: 'down', dueAtMs: DAWN_MS, data: { odd } }],
        notices: [notice('t1', 'n1', { data: { odd }, expiresAtMs: DAWN_MS + 9 })],
      }),
    );
    expect((await other.events('t1'))[1]).toEqual(told);
    expect(await other.answered('t1-i2')).toEqual({ answer: { odd } });
    expect((await other.due(DAWN_MS, 1))[0]?.data).toEqual({ odd });
    expect((await other.notices('t1'))[0]).toMatchObject({
      data: { odd },
      expiresAtMs: DAWN_MS + 9,
    });
    // A name is plain text; what no text may hold is shown as U+FFFD or left as it is.
    const by = { id: 'u-1', name: 'P\u00e5l {x} "y" \\ \u0000\ud800' };
    await store.append(append('t1', 2, { events: [{ ...event('t1', 3), by }], name: by.name }));
    expect((await other.events('t1'))[2]?.by.name).toMatch(/^Pål \{x\} "y" \\ /u);
    expect((await other.trip('t1'))?.name).toMatch(/^Pål \{x\} "y" \\ /u);
  });

  it('seals what it stores behind what was stored before, and erases content without breaking that', async () => {
    const [store, other] = await two();
    await open(store, 't1');
    const odd = { ...event('t1', 2), typed: '-10m', data: { note: 'a\u0000b', n: [1.5, null] } };
    await store.append(append('t1', 1, { events: [odd, { ...event('t1', 3), id: 'e-3' }] }));
    await other.append(append('t1', 3));
    const sealed = await other.sealed('t1');
    expect(await followChain(sealed, 4)).toMatchObject({ holds: true, entries: 4 });
    const hash = sealed[2]?.seal.hash;
    await store.append(
      append('t1', 4, {
        events: [{ ...event('t1', 5), kind: 'log.erased', data: { entries: [2] } }],
        redact: [{ seq: 2, by: { id: 'gone', name: 'gone' }, data: {} }],
      }),
    );
    const left = await other.sealed('t1');
    expect(await followChain(left, 5)).toMatchObject({ holds: true, erased: [2] });
    expect(left[1]).toMatchObject({ by: { name: 'gone' }, data: {} });
    expect(left[1]?.typed).toBeUndefined();
    expect(left[2]?.seal.hash).toBe(hash);
    expect(await store.answered('t1-i1')).toBeUndefined();
  });

  it('erases all of a trip and nothing of another whose name is like it', async () => {
    const [store, other] = await two();
    for (const trip of ['t_1', 'tx1']) {
      await open(store, trip, {
        deadlines: [{ key: 'down', dueAtMs: DAWN_MS, data: null }],
        notices: [notice(trip, `n-${trip}`)],
      });
      await store.setFact(`link:${trip}`, 'x');
      await store.setBoard(trip, { posts: 1, pinned: true, wanted: true });
    }
    await other.purge('t_1', DAWN_MS);
    expect(await store.events('t_1')).toEqual([]);
    expect(await store.notices('t_1')).toEqual([]);
    expect(await store.board('t_1')).toBeUndefined();
    expect(await store.getFact('link:t_1')).toBeUndefined();
    expect(await store.answered('t_1-i1')).toBeUndefined();
    expect(await store.openTripsOf('u-mara')).toMatchObject([{ id: 'tx1' }]);
    expect(names(await store.due(DAWN_MS, 9))).toEqual(['tx1 down']);
    expect(await store.wantedBoards()).toEqual(['tx1']);
    expect(await store.getFact('link:tx1')).toBe('x');
    expect(await store.trip('t_1')).toMatchObject({ status: 'purged', channel: '', seq: 0 });
    expect(await store.append(append('t_1', 0))).toEqual({ ok: false, why: 'no-trip' });
  });

  it('says whether it can be written, and refuses once it is closed', async () => {
    const [store, other] = await two();
    await store.check(DAWN_MS);
    expect(await other.getFact('store.checked')).toBe(String(DAWN_MS));
    await store.close();
    await store.close();
    await expect(store.trip('t1')).rejects.toMatchObject({ code: 'STORE_CLOSED' });
    await expect(
      store.claimDue({ nowMs: 1, owner: 'a', leaseUntilMs: 2, limit: 1 }),
    ).rejects.toMatchObject({ code: 'STORE_CLOSED' });
    expect(await other.openTrips()).toEqual([]);
  });
}
