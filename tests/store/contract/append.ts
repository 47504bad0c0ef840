import { expect, it } from 'vitest';
import { append, DAWN_MS, event, notice, open } from '../posts.ts';
import type { MakeDatabase } from './database.ts';

/** What is appended: whole, once, in order, answered again as before. */
export function appendContract(make: MakeDatabase): void {
  it('keeps what it was given, in order, and says who may act where', async () => {
    const store = await (await make()).store();
    expect(await open(store, 't1')).toEqual({ ok: true, seq: 1 });
    const typed = { ...event('t1', 2), typed: '-10m' };
    expect(await store.append(append('t1', 1, { events: [typed], name: 'Lantern Gorge' }))).toEqual(
      {
        ok: true,
        seq: 2,
      },
    );
    expect(await store.events('t1')).toEqual([event('t1', 1), typed]);
    expect(await store.trip('t1')).toEqual({
      id: 't1',
      channel: 'c-t1',
      guild: 'g-1',
      name: 'Lantern Gorge',
      status: 'open',
      seq: 2,
      openedAtMs: DAWN_MS,
    });
    expect((await store.openTripsOf('u-jonas')).map((t) => t.id)).toEqual(['t1']);
    await store.append(append('t1', 2, { members: ['u-mara'] }));
    expect(await store.openTripsOf('u-jonas')).toEqual([]);
    expect((await store.openTripsOf('u-mara')).map((t) => t.id)).toEqual(['t1']);
  });

  it('finds the closed trips of a person on one server, the newest first', async () => {
    const store = await (await make()).store();
    for (const id of ['t1', 't2', 't3', 't4']) await open(store, id);
    for (const id of ['t1', 't2', 't3']) await store.append(append(id, 1, { status: 'closed' }));
    await store.append(append('t2', 2, { status: 'closed', members: ['u-mara'] }));
    const ids = async (user: string, guild: string | undefined, limit = 25) =>
      (await store.closedTripsOf(user, guild, limit)).map((t) => t.id);
    expect(await ids('u-jonas', 'g-1')).toEqual(['t1', 't3']);
    expect(await ids('u-mara', 'g-1', 2)).toEqual(['t1', 't2']);
    expect(await ids('u-mara', 'g-2')).toEqual([]);
    expect(await ids('u-mara', undefined)).toEqual([]);
    await store.purge('t1', DAWN_MS);
    expect(await ids('u-jonas', 'g-1')).toEqual(['t3']);
  });

  it('answers a repeated delivery as before and changes nothing', async () => {
    const store = await (await make()).store();
    await open(store, 't1');
    const once = append('t1', 1);
    await store.append(once);
    const before = await store.events('t1');
    const again = { ok: false, why: 'repeated', answer: { said: 'pitch 2' } };
    expect(await store.append({ ...once, answer: 'another' })).toEqual(again);
    // A repeat of the opening meets its own trip in the channel, and still is a repeat.
    expect(await open(store, 't1')).toEqual({ ...again, answer: { said: 'pitch 1' } });
    expect(await store.events('t1')).toEqual(before);
    expect(await store.answered(once.key)).toEqual({ answer: { said: 'pitch 2' } });
    expect(await store.answered('never')).toBeUndefined();
  });

  it('lets one of two posts on the same state win; the loser is told', async () => {
    const store = await (await make()).store();
    await open(store, 't1');
    const other = { ...event('t1', 2), id: 'other' };
    const results = await Promise.all([
      store.append(append('t1', 1)),
      store.append(append('t1', 1, { key: 'i-other', events: [other] })),
    ]);
    expect(results).toEqual([
      { ok: true, seq: 2 },
      { ok: false, why: 'conflict' },
    ]);
    expect(await store.answered('i-other')).toBeUndefined();
    expect(await store.append(append('none', 0))).toEqual({ ok: false, why: 'no-trip' });
  });

  it('binds an append to the event it comes after, where that is named', async () => {
    const store = await (await make()).store();
    await open(store, 't1');
    const behind = (afterId: string, key: string) => append('t1', 1, { afterId, key });
    const conflict = { ok: false, why: 'conflict' };
    expect(await store.append(behind('another', 'i-a'))).toEqual(conflict);
    const fire = { trip: 't1', keys: [], atMs: DAWN_MS, notices: [] };
    expect(await store.fire({ ...fire, append: behind('another', 'i-b') })).toBe('conflict');
    expect(await store.append(behind('t1-e1', 'i-c'))).toEqual({ ok: true, seq: 2 });
    // Asked in one turn, each on the one before.
    const results = await Promise.all([
      store.append(append('t1', 2, { afterId: 't1-e2', key: 'i-d' })),
      store.append(append('t1', 3, { afterId: 't1-e3', key: 'i-e' })),
      store.append(append('t1', 4, { afterId: 'void', key: 'i-f' })),
    ]);
    expect(results).toEqual([{ ok: true, seq: 3 }, { ok: true, seq: 4 }, conflict]);
  });

  it('ASVS V2.3.4: has one open trip in a channel', async () => {
    const store = await (await make()).store();
    await open(store, 't1', {}, 'wall');
    expect(await open(store, 't2', {}, 'wall')).toEqual({
      ok: false,
      why: 'channel-taken',
      trip: 't1',
    });
    await store.append(append('t1', 1, { status: 'closed' }));
    expect(await store.openTripIn('wall')).toBeUndefined();
    expect((await store.lastTripIn('wall'))?.id).toBe('t1');
    expect(await open(store, 't2', {}, 'wall')).toEqual({ ok: true, seq: 1 });
    expect((await store.openTripIn('wall'))?.id).toBe('t2');
    // Opening the first again would make two.
    expect(await store.append(append('t1', 2))).toMatchObject({ why: 'channel-taken', trip: 't2' });
    expect((await store.trip('t1'))?.status).toBe('closed');
  });

  it('replaces deadlines: the same stays fired, a moved one is armed again, a missing one is gone', async () => {
    const store = await (await make()).store();
    const deadlines = ['down', 'topout', 'checkin'].map((key) => ({
      key,
      dueAtMs: DAWN_MS,
      data: { key },
    }));
    await open(store, 't1', { deadlines });
    const fired = await store.fire({
      trip: 't1',
      keys: ['down', 'topout', 'checkin'],
      atMs: DAWN_MS,
      notices: [],
    });
    expect(fired).toBe('fired');
    expect(await store.nextDue()).toBeUndefined();
    await store.append(
      append('t1', 1, {
        deadlines: [
          { key: 'down', dueAtMs: DAWN_MS, data: 'same time' },
          { key: 'topout', dueAtMs: DAWN_MS + 1000.4, data: 'moved' },
        ],
      }),
    );
    expect(await store.due(DAWN_MS * 2, 10)).toEqual([
      { trip: 't1', key: 'topout', dueAtMs: DAWN_MS + 1000, data: 'moved' },
    ]);
  });

  it('queues a notice once for ever, and cancels only what is pending in its own trip', async () => {
    const store = await (await make()).store();
    await open(store, 't1', { notices: [notice('t1', 'n1'), notice('t1', 'n2')] });
    await open(store, 't2', { notices: [notice('t2', 'n3')] });
    await store.recordDeliveries([{ key: 'n2', atMs: DAWN_MS, outcome: { status: 'sent' } }]);
    await store.append(
      append('t1', 1, {
        notices: [notice('t1', 'n1', { data: 'again' })],
        cancelNotices: ['n1', 'n2', 'n3'],
      }),
    );
    const all = [...(await store.notices('t1')), ...(await store.notices('t2'))];
    expect(all.map((n) => [n.key, n.status, n.data])).toEqual([
      ['n1', 'cancelled', { to: 'u-dana', says: 'n1' }],
      ['n2', 'sent', { to: 'u-dana', says: 'n2' }],
      ['n3', 'pending', { to: 'u-dana', says: 'n3' }],
    ]);
    expect(new Set(all.map((n) => n.nonce)).size).toBe(3);
    // Discord, resources/message, Create Message: a nonce has at most 25 characters.
    for (const n of all) expect(n.nonce.length).toBeLessThanOrEqual(25);
  });

  it('ASVS V2.3.3: shares a commit between posts of one turn without sharing their fate', async () => {
    const store = await (await make()).store();
    await open(store, 't1');
    await open(store, 't2');
    const settled = await Promise.allSettled([
      store.append(append('t1', 1)),
      // An event id the trip has already: a fault of the caller, thrown out with everything it wrote.
      store.append(append('t2', 1, { events: [event('t2', 1)], notices: [notice('t2', 'lost')] })),
      store.append(append('t1', 2)),
    ]);
    expect(settled.map((s) => s.status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    expect((await store.trip('t1'))?.seq).toBe(3);
    expect((await store.trip('t2'))?.seq).toBe(1);
    expect(await store.notices('t2')).toEqual([]);
    expect(await store.answered('t2-i2')).toBeUndefined();
  });

  it('takes an entry of another trip with its id: an exported record opens beside its trip', async () => {
    const store = await (await make()).store();
    await open(store, 't1');
    await open(store, 't2');
    const copied = [event('t1', 1)];
    expect(await store.append(append('t2', 1, { events: copied }))).toEqual({ ok: true, seq: 2 });
    expect((await store.events('t2')).map((e) => e.id)).toEqual(['t2-e1', 't1-e1']);
  });

  it('finishes what was asked before it closes, and takes nothing afterwards', async () => {
    const database = await make();
    const store = await database.store();
    const opened = open(store, 't1');
    await store.close();
    expect(await opened).toEqual({ ok: true, seq: 1 });
    await expect(store.append(append('t1', 1))).rejects.toMatchObject({ code: 'STORE_CLOSED' });
    await expect(store.trip('t1')).rejects.toMatchObject({ code: 'STORE_CLOSED' });
    expect((await (await database.store()).trip('t1'))?.seq).toBe(1);
  });

  it('keeps small facts, and proves by writing that it can be written', async () => {
    const database = await make();
    const store = await database.store();
    await store.setFact('board', 'm-1');
    await store.setFact('board', 'm-2');
    expect(await store.getFact('board')).toBe('m-2');
    await store.setFact('board', undefined);
    expect(await store.getFact('board')).toBeUndefined();
    await store.check(DAWN_MS);
    expect(await (await database.store()).getFact('store.checked')).toBe(String(DAWN_MS));
  });
}
