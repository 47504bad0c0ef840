import { expect, it } from 'vitest';
import type { NoticeRow, Store } from '../../../src/store/port.ts';
import { append, DAWN_MS, notice, open } from '../posts.ts';
import type { MakeDatabase } from './database.ts';

const claim = (store: Store, owner: string, nowMs = DAWN_MS, limit = 100): Promise<NoticeRow[]> =>
  store.claimNotices({ nowMs, owner, leaseUntilMs: nowMs + 60_000, limit });
const keys = (rows: readonly { key: string }[]) => rows.map((r) => r.key);

/** What falls due and what is to be told: each once, by one owner at a time, in order. */
export function watchContract(make: MakeDatabase): void {
  it('gives what is due, oldest first, in bounded lots, and when the next falls due', async () => {
    const store = await (await make()).store();
    const at = (minutes: number) => DAWN_MS + minutes * 60_000;
    await open(store, 't2', { deadlines: [{ key: 'down', dueAtMs: at(5), data: 2 }] });
    await open(store, 't1', {
      deadlines: [
        { key: 'topout', dueAtMs: at(5), data: 1 },
        { key: 'down', dueAtMs: at(9), data: null },
        { key: 'checkin', dueAtMs: at(1), data: 3 },
      ],
    });
    expect(await store.nextDue()).toBe(at(1));
    expect(await store.due(at(1) - 1, 10)).toEqual([]);
    const due = await store.due(at(5), 10);
    expect(due.map((d) => `${d.trip} ${d.key}`)).toEqual(['t1 checkin', 't1 topout', 't2 down']);
    expect(await store.due(at(5), 2)).toEqual(due.slice(0, 2));
  });

  it('fires once, with its notices and events, or not at all', async () => {
    const store = await (await make()).store();
    const deadlines = [
      { key: 'down', dueAtMs: DAWN_MS, data: 1 },
      { key: 'topout', dueAtMs: DAWN_MS + 1, data: 1 },
    ];
    await open(store, 't1', { deadlines });
    const fire = { trip: 't1', keys: ['down'], atMs: DAWN_MS, notices: [notice('t1', 'n1')] };
    // One of the two isn't due yet (it may have been moved meanwhile): nothing is fired.
    expect(await store.fire({ ...fire, keys: ['down', 'topout'] })).toBe('already');
    expect(await store.notices('t1')).toEqual([]);
    expect(await store.fire({ ...fire, afterSeq: 0 })).toBe('conflict');
    const stale = append('t1', 0, { key: 'fire-1', deadlines });
    expect(await store.fire({ ...fire, append: stale })).toBe('conflict');
    expect(await store.due(DAWN_MS, 9)).toHaveLength(1);
    // The append may drop the very deadline that fired.
    const logged = append('t1', 1, { key: 'fire-1', deadlines: deadlines.slice(1) });
    expect(await store.fire({ ...fire, append: logged, afterSeq: 1 })).toBe('fired');
    expect(await store.fire({ ...fire, append: logged })).toBe('already');
    expect(await store.events('t1')).toHaveLength(2);
    expect(keys(await store.notices('t1'))).toEqual(['n1']);
  });

  it('hands out the most urgent first, to one owner at a time', async () => {
    const database = await make();
    const [store, other] = [await database.store(), await database.store()];
    await open(store, 't1', {
      notices: [
        notice('t1', 'later', { dueAtMs: DAWN_MS + 1 }),
        notice('t1', 'rest', { urgency: 5, dueAtMs: DAWN_MS - 9 }),
        notice('t1', 'distress', { urgency: 0 }),
        notice('t1', 'alert-b', { urgency: 1, dueAtMs: DAWN_MS - 1 }),
        notice('t1', 'alert-a', { urgency: 1, dueAtMs: DAWN_MS - 2 }),
      ],
    });
    expect(keys(await claim(store, 'one', DAWN_MS, 2))).toEqual(['distress', 'alert-a']);
    expect(keys(await claim(other, 'two'))).toEqual(['alert-b', 'rest']);
    expect(await claim(store, 'one')).toEqual([]);
    // The one that isn't due yet comes first; then the leases run out.
    expect(await store.nextNoticeAt()).toBe(DAWN_MS + 1);
    expect(keys(await claim(other, 'two', DAWN_MS + 60_000))).toHaveLength(5);
    // An owner that is gone gives back what it held.
    expect(await store.releaseLeases('one')).toBe(0);
    expect(await store.releaseLeases('two')).toBe(5);
    expect(keys(await claim(store, 'one'))).toEqual(['distress', 'alert-a', 'alert-b', 'rest']);
  });

  it('records how delivery went; what was sent stays sent', async () => {
    const store = await (await make()).store();
    const names = ['sent', 'later', 'failed', 'cancelled', 'expired'];
    await open(store, 't1', { notices: names.map((n) => notice('t1', n)) });
    const [first] = await claim(store, 'one');
    const atMs = DAWN_MS + 500;
    const nextTryAtMs = DAWN_MS + 30_000;
    await store.append(append('t1', 1, { cancelNotices: ['cancelled'] }));
    await store.recordDeliveries([
      { key: 'sent', atMs, outcome: { status: 'sent', receipt: 'm-1' } },
      {
        key: 'later',
        atMs,
        outcome: { status: 'pending', nextTryAtMs, error: '429', data: { way: 2 } },
      },
      { key: 'failed', atMs, outcome: { status: 'failed', error: '50007' } },
      // Cancelled while it was on its way, and it arrived.
      { key: 'cancelled', atMs, outcome: { status: 'sent', receipt: 'm-2' } },
      { key: 'expired', atMs, outcome: { status: 'expired', error: 'too late' } },
      { key: 'purged-meanwhile', atMs, outcome: { status: 'sent' } },
    ]);
    await store.recordDeliveries([
      { key: 'sent', atMs: atMs + 1, outcome: { status: 'failed', error: 'told again' } },
      { key: 'sent', atMs: atMs + 1, outcome: { status: 'sent', receipt: 'm-9' } },
    ]);
    const rows = new Map((await store.notices('t1')).map((n) => [n.key, n]));
    const brief = (key: string) => {
      const { status, attempts, lastError, receipt, sentAtMs } = rows.get(key) as NoticeRow;
      return [status, attempts, lastError ?? receipt, sentAtMs];
    };
    expect(brief('sent')).toEqual(['sent', 1, 'm-1', atMs]);
    expect(brief('later')).toEqual(['pending', 1, '429', undefined]);
    expect(brief('failed')).toEqual(['failed', 1, '50007', undefined]);
    expect(brief('cancelled')).toEqual(['sent', 1, 'm-2', atMs]);
    expect(brief('expired')).toEqual(['expired', 0, 'too late', undefined]);
    // Back-off holds it, then it comes again with the same nonce and the new way.
    expect(await store.nextNoticeAt()).toBe(nextTryAtMs);
    expect(await claim(store, 'one', nextTryAtMs - 1)).toEqual([]);
    const [again] = await claim(store, 'one', nextTryAtMs);
    expect(again).toMatchObject({
      key: 'later',
      data: { way: 2 },
      nonce: rows.get('later')?.nonce,
    });
    expect(first?.nonce).not.toBe(again?.nonce);
  });

  it('claims ten thousand that fall due at once in bounded lots, each once, in order', async () => {
    const store = await (await make()).store();
    const all = Array.from({ length: 10_000 }, (_, i) =>
      notice('t1', `n${String(i).padStart(5, '0')}`, { urgency: i % 4 }),
    );
    await open(store, 't1', { notices: all });
    const claimed: NoticeRow[] = [];
    for (;;) {
      const lot = await claim(store, 'one', DAWN_MS, 500);
      if (lot.length === 0) break;
      expect(lot.length).toBeLessThanOrEqual(500);
      claimed.push(...lot);
    }
    expect(keys(claimed)).toEqual(
      [0, 1, 2, 3].flatMap((u) => keys(all.filter((n) => n.urgency === u))),
    );
  });
}
