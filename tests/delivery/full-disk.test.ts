/** Nothing can be written, and what is due is told all the same; it is made good later, once. */
import { join } from 'node:path';
import { pino } from 'pino';
import { describe, expect, it, onTestFinished } from 'vitest';
import { deriveWatch } from '../../src/alarm/derive.ts';
import { Watch } from '../../src/delivery/loop.ts';
import {
  type Envelope,
  NO_COUNTERS,
  type Sent,
  type WatchParts,
} from '../../src/delivery/ports.ts';
import { bare } from '../../src/say/message.ts';
import { holdingStore } from '../../src/store/holding.ts';
import { type Store, StoreError } from '../../src/store/port.ts';
import { PATIENCE_MS } from '../../src/store/sqlite/commit.ts';
import { openDatabase } from '../../src/store/sqlite/open.ts';
import { sqliteStore } from '../../src/store/sqlite/store.ts';
import { DAWN_MS, departed, HOUR, MINUTE } from '../alarm/trip.ts';
import { quietRecords } from '../chat/fakes.ts';
import { ManualClock } from '../helpers/clock.ts';
import { tempFolder } from '../store/help.ts';

const TRIP = 'tr1p0001';
const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;

interface Disk {
  store: Store;
  fill(): Promise<void>;
  empty(): void;
}

/** A real file that may not grow, and has no free page left. */
function fullFile(): Disk {
  const { db } = openDatabase(join(tempFolder(), 'trips.db'));
  const store = sqliteStore(db);
  return {
    store,
    async fill() {
      const pages = Number(db.pragma('page_count', { simple: true }));
      db.pragma(`max_page_count = ${pages}`);
      // Every page is filled to the brim, so that no row of any table fits any more.
      for (const bytes of [3000, 600, 60]) {
        for (let i = 0; i < 2000; i++) {
          const refused = await store.setFact(`fill-${bytes}-${i}`, 'x'.repeat(bytes)).then(
            () => false,
            () => true,
          );
          if (refused) break;
        }
      }
    },
    empty: () => void db.pragma('max_page_count = 100000'),
  };
}

/** A disk on which not one write succeeds any more. */
function deadDisk(): Disk {
  const { db } = openDatabase(':memory:');
  const real = sqliteStore(db);
  let full = false;
  const writes = new Set([
    'append',
    'openTrip',
    'fire',
    'claimNotices',
    'recordDeliveries',
    'setFact',
    'check',
    'releaseLeases',
  ]);
  const store = { ...real } as Record<string, unknown>;
  for (const name of writes) {
    const write = real[name as keyof Store] as (...args: unknown[]) => Promise<unknown>;
    store[name] = (...args: unknown[]) =>
      full ? Promise.reject(new StoreError('STORE_FULL', 'no room')) : write(...args);
  }
  return {
    store: store as unknown as Store,
    fill: async () => {
      full = true;
    },
    empty: () => {
      full = false;
    },
  };
}

/** A real file out of which something was erased, and whose bytes take the thread hours to write anew. */
function slowRewriting(): Disk {
  const clock = new ManualClock();
  let end = () => {};
  const rewrite = () =>
    new Promise<void>((resolve) => {
      end = resolve;
    });
  const { db } = openDatabase(join(tempFolder(), 'trips.db'));
  const store = sqliteStore(db, { clock, rewrite });
  return {
    store,
    async fill() {
      void store.purge('erased', DAWN_MS);
      // Begun, and then for longer than what is written waits for it.
      for (let i = 0; i < 20; i++) await new Promise((resolve) => setImmediate(resolve));
      clock.advance(PATIENCE_MS);
      await expect(store.setFact('a', 'b')).rejects.toMatchObject({ code: 'STORE_REWRITING' });
    },
    empty: () => end(),
  };
}

async function scene({ store: inner, fill, empty }: Disk) {
  const store = holdingStore(inner, { log: { error() {}, info() {} } });
  onTestFinished(() => store.close());
  const clock = new ManualClock();
  clock.set(DAWN_MS + HOUR);
  const told: { to: string; subject: string; text: string; nonce: string }[] = [];
  const take = (to: string, { message, nonce }: Envelope): Sent => {
    // The reminder ahead of a time is no alarm.
    if (/due soon/u.test(message.subject)) return { ok: true, receipt: 'x' };
    told.push({ to, nonce, subject: message.subject, text: message.lines.map(bare).join('\n') });
    return { ok: true, receipt: 'x' };
  };
  const records = quietRecords(store);
  const parts: WatchParts = {
    store,
    clock,
    log: pino({ level: 'silent' }),
    ways: {
      channel: async (_c, envelope) => take('channel', envelope),
      dm: async ({ name }, envelope) => take(name, envelope),
      email: async ({ address }, envelope) => take(address, envelope),
    },
    records,
    organizer: 'watch@example.org',
    owner: 'here/1/1',
    counters: NO_COUNTERS,
  };
  const { events, state } = departed(TRIP);
  const { deadlines } = deriveWatch({
    before: undefined,
    after: state,
    events,
    nowMs: clock.wallMs(),
  });
  await store.openTrip(
    { id: TRIP, channel: 'wall', openedAtMs: DAWN_MS },
    {
      key: TRIP,
      events,
      answer: null,
      deadlines,
      members: [],
      status: 'open',
      name: state.name,
      notices: [],
    },
  );
  const watch = new Watch(parts);
  await watch.tick();
  const to = async (atMs: number) => {
    for (const step of [15 * MINUTE, 15 * MINUTE]) {
      while (clock.wallMs() < atMs) {
        clock.advance(Math.min(step, atMs - clock.wallMs()));
        await watch.tick();
      }
    }
  };
  const post = () =>
    records.write({
      trip: TRIP,
      key: `well-${clock.wallMs()}`,
      nowMs: clock.wallMs(),
      by: { id: 'u-mara', name: 'Mara' },
      decide: () => [{ kind: 'watch.ok', data: { how: 'radio' } }],
      derive: deriveWatch,
    });
  return { store, inner, clock, told, watch, parts, to, post, fill, empty, records };
}

describe.each([
  ['a file without a free page', fullFile],
  ['a disk that takes nothing', deadDisk],
  ['a file that is being written anew', slowRewriting],
] as const)('%s', (_, disk) => {
  it('every phase is told at its time, once, marked; when there is room again it is written and not told again', async () => {
    const { inner, clock, told, watch, to, fill, empty } = await scene(disk());
    await to(DOWN - MINUTE);
    expect(told).toEqual([]);
    await fill();
    await to(DOWN);
    expect(told.map((t) => t.to)).toEqual(['channel']);
    await to(CALLOUT + MINUTE);
    const distress = told
      .filter((t) => /call 112 now|time to call/u.test(t.subject))
      .map((t) => t.to);
    expect(distress.sort()).toEqual(['Dana', 'channel', 'dana@example.org', 'pal@example.org']);
    // The first may still have fitted somewhere.
    expect(told.at(-1)?.text).toMatch(/can write nothing down/u);
    expect(new Set(told.map((t) => t.nonce)).size).toBe(told.length);

    empty();
    const before = told.length;
    await watch.tick();
    clock.advance(1000);
    await watch.tick();
    expect(told.length).toBe(before);
    const events = await inner.events(TRIP);
    const raised = events.filter((e) => e.kind === 'watch.raised');
    expect(raised.map((e) => (e.data as { phase: string }).phase)).toContain('distress');
    expect(raised[0]?.atMs).toBe(DOWN);
    const rows = (await inner.notices(TRIP)).filter((r) => r.key.includes('/phase/'));
    expect(rows.filter((r) => r.status === 'sent').length).toBe(before);
    expect(rows.filter((r) => r.status === 'pending')).toEqual([]);
  });

  it('a word that comes when there is room again ends what was told meanwhile', async () => {
    const { told, watch, to, post, fill, empty, clock } = await scene(disk());
    await fill();
    await to(CALLOUT + MINUTE);
    await expect(post()).rejects.toMatchObject({
      code: disk === slowRewriting ? 'STORE_REWRITING' : 'STORE_FULL',
    });
    empty();
    told.length = 0;
    expect((await post()).outcome).toBe('written');
    clock.advance(1000);
    await watch.tick();
    expect(
      told
        .filter((t) => /alarm over/u.test(t.subject))
        .map((t) => t.to)
        .sort(),
    ).toEqual(['Dana', 'channel', 'dana@example.org', 'pal@example.org']);
  });

  it('a notice that was queued before is sent, and tried again as it should be', async () => {
    const { told, parts, to, fill, empty, clock, inner } = await scene(disk());
    let broken = true;
    const channel = parts.ways.channel;
    const watch = new Watch({
      ...parts,
      ways: {
        ...parts.ways,
        channel: async (id, envelope) =>
          broken ? { ok: false, retry: 'later', why: 'http-503' } : channel!(id, envelope),
      },
    });
    await to(DOWN - MINUTE);
    clock.advance(MINUTE);
    await watch.tick();
    await fill();
    for (let i = 0; i < 5; i++) {
      clock.advance(10_000);
      await watch.tick();
    }
    expect(told).toEqual([]);
    broken = false;
    clock.advance(5 * MINUTE);
    await watch.tick();
    expect(told.map((t) => t.to)).toEqual(['channel']);
    clock.advance(MINUTE);
    await watch.tick();
    expect(told).toHaveLength(1);
    expect(await watch.nextAt()).toBeGreaterThan(clock.wallMs());
    empty();
    await watch.tick();
    expect(told).toHaveLength(1);
    const rows = (await inner.notices(TRIP)).filter((r) => r.key.includes('/phase/'));
    expect(rows.map((r) => r.status)).toEqual(['sent']);
  });
});
