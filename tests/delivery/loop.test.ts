/** The loop with real stores: outages, set clocks, two processes on one file, a store that fails. */
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { describe, expect, it, onTestFinished } from 'vitest';
import { deriveWatch } from '../../src/alarm/derive.ts';
import { Watch } from '../../src/delivery/loop.ts';
import { takeOver } from '../../src/delivery/owner.ts';
import {
  type Envelope,
  NO_COUNTERS,
  type Sent,
  type WatchParts,
} from '../../src/delivery/ports.ts';
import { backOffMs } from '../../src/delivery/retry.ts';
import { ForwardTime } from '../../src/delivery/times.ts';
import { bare } from '../../src/say/message.ts';
import type { Store } from '../../src/store/port.ts';
import { DAWN_MS, departed, HOUR, MINUTE } from '../alarm/trip.ts';
import { countingIds, quietRecords } from '../chat/fakes.ts';
import { ManualClock } from '../helpers/clock.ts';
import { ROOM } from '../helpers/room.ts';
import { testStore } from '../helpers/store.ts';

const DOWN = DAWN_MS + 16 * HOUR;

/** `letter` keeps the ids of two processes on one file apart. */
function scene(path = ':memory:', letter = '') {
  const counted = countingIds();
  const ids = { ...counted, event: () => `${letter}${counted.event()}` };
  const store = testStore(path);
  onTestFinished(() => store.close());
  const clock = new ManualClock();
  clock.set(DAWN_MS + HOUR);
  const told: { to: string; subject: string; text: string }[] = [];
  const take = (to: string, { message }: Envelope): Sent => {
    told.push({ to, subject: message.subject, text: message.lines.map(bare).join('\n') });
    return { ok: true, receipt: 'x' };
  };
  const parts: WatchParts = {
    store,
    clock,
    log: pino({ level: 'silent' }),
    ways: {
      channel: async (_c, envelope) => take('channel', envelope),
      dm: async ({ name }, envelope) => take(name, envelope),
      email: async ({ name }, envelope) => take(name, envelope),
    },
    records: quietRecords(store, undefined, ids),
    organizer: 'watch@example.org',
    owner: 'here/1/1',
    counters: NO_COUNTERS,
  };
  return { store, clock, told, parts, watch: new Watch(parts) };
}

/** Puts a departed trip into a store, as the app would. */
async function put(store: Store, trip = 'tr1p0001'): Promise<void> {
  const { events, state } = departed(trip);
  const { deadlines } = deriveWatch({
    before: undefined,
    after: state,
    events,
    nowMs: DAWN_MS + HOUR,
  });
  const opening = { id: trip, channel: `c-${trip}`, openedAtMs: DAWN_MS };
  const rest = { members: [], status: 'open', name: state.name, notices: [] } as const;
  const stored = await store.openTrip(opening, {
    key: trip,
    events,
    answer: null,
    deadlines,
    ...rest,
  });
  if (!stored.ok) throw new Error(stored.why);
}

const phases = (told: { to: string; subject: string }[]) =>
  told.map(({ to, subject }) => `${to}: ${subject.replace('Harrow Tower: ', '')}`);

describe('after hours in which nobody watched', () => {
  it('tells the highest phase once, late, and says from when to when', async () => {
    const { store, clock, told, parts, watch } = scene();
    await put(store);
    await watch.tick();
    clock.advance(DOWN - 30 * MINUTE - clock.wallMs());
    await watch.tick();
    // The party was reminded half an hour ahead.
    expect(told.splice(0).map((t) => t.to)).toEqual(['channel']);
    // The process ends at 21:30 and comes back at 00:30.
    clock.advance(3 * HOUR);
    await new Watch(parts).tick();
    expect(phases(told).sort()).toEqual([
      'Dana: overdue, please act',
      'Pål: overdue, please act',
      'channel: overdue',
    ]);
    expect(told[0]?.text).toMatch(
      /This comes late: tagline was not watching from (Thu )?21:30 to 00:30\./,
    );
    await new Watch(parts).tick();
    expect(told).toHaveLength(3);
  });

  it('a restart of seconds says nothing of it', async () => {
    const { store, clock, told, parts, watch } = scene();
    await put(store);
    clock.advance(DOWN - MINUTE - clock.wallMs());
    await watch.tick();
    told.splice(0);
    clock.advance(MINUTE);
    await new Watch(parts).tick();
    expect(told).toHaveLength(1);
    expect(told[0]?.text).not.toMatch(/late/);
  });
});

describe('when the clock is set', () => {
  it('forward, it tells at once; set back again, it tells it again at the right time', async () => {
    const { store, clock, told, watch } = scene();
    await put(store);
    await watch.tick();
    const before = clock.wallMs();
    clock.set(DOWN + MINUTE);
    await watch.tick();
    expect(phases(told)).toEqual(['channel: a word is due']);
    clock.set(before);
    await watch.tick();
    // Whoever was told hears at once that it was too soon.
    expect(phases(told)).toEqual([
      'channel: a word is due',
      'channel: told too soon, the time has not come',
    ]);
    told.pop();
    clock.advance(DOWN - before);
    await watch.tick();
    expect(phases(told)).toEqual(['channel: a word is due', 'channel: a word is due']);
    told.pop();
    // And what comes after is not forgotten.
    clock.advance(30 * MINUTE);
    await watch.tick();
    expect(phases(told).sort()).toEqual([
      'Dana: no word yet',
      'channel: a word is due',
      'channel: no word yet',
    ]);
  });

  it('back by hours, what was to be tried again in seconds is tried in seconds', async () => {
    const { store, clock, told, parts } = scene();
    await put(store);
    let broken = true;
    const watch = new Watch({
      ...parts,
      ways: {
        async channel(_c, { message }) {
          if (broken) return { ok: false, retry: 'later', why: 'http-503' };
          told.push({ to: 'channel', subject: message.subject, text: '' });
          return { ok: true, receipt: 'x' };
        },
      },
    });
    await watch.tick();
    clock.advance(DOWN - clock.wallMs());
    await watch.tick();
    broken = false;
    clock.set(DOWN - 5 * HOUR);
    clock.advance(10_000);
    await watch.tick();
    expect(phases(told)).toEqual(['channel: a word is due']);
  });

  it('is noticed against the clock that never goes back', () => {
    const clock = new ManualClock();
    clock.set(HOUR);
    const time = new ForwardTime(clock);
    clock.set(0);
    expect(time.nowMs()).toBe(HOUR);
    clock.advance(5);
    expect(time.nowMs()).toBe(HOUR + 5);
    clock.advance(0.4);
    expect(Number.isInteger(time.nowMs())).toBe(true);
    time.raiseTo(9 * HOUR);
    expect(time.nowMs()).toBe(9 * HOUR);
  });
});

describe('two processes on one file', () => {
  it('tell everything once between them', async () => {
    const folder = mkdtempSync(join(ROOM, 'tagline-watch-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    const path = join(folder, 'trips.db');
    const one = scene(path);
    const two = scene(path, 'two-');
    const trips = Array.from({ length: 12 }, (_, i) => `tr1p${String(i).padStart(4, '0')}`);
    for (const trip of trips) await put(one.store, trip);
    for (const atMs of [DOWN, DOWN + 30 * MINUTE, DOWN + 2 * HOUR, DOWN + 4 * HOUR]) {
      for (const { clock } of [one, two]) clock.advance(atMs - clock.wallMs());
      const other = new Watch({ ...two.parts, owner: 'here/2/2' });
      await Promise.all([one.watch.tick(), other.tick()]);
    }
    const all = phases([...one.told, ...two.told]);
    const counts = (text: string) => all.filter((t) => t === text).length;
    expect(counts('channel: a word is due')).toBe(12);
    expect(counts('Dana: no word yet')).toBe(12);
    expect(counts('Pål: overdue, please act')).toBe(12);
    // By direct message and by mail at once.
    expect(counts('Dana: call 112 now')).toBe(24);
  });

  it('a process takes back what a dead one had on its way, and nothing from a living one', async () => {
    const { store } = scene();
    const self = { host: 'here', pid: 2, startedMs: 5, alive: (pid: number) => pid === 7 };
    await store.setFact('watch.owner', 'here/7/1');
    const asked: string[] = [];
    const spy = {
      getFact: store.getFact,
      setFact: store.setFact,
      releaseLeases: async (owner: string) => asked.push(owner),
    };
    await takeOver(spy, self);
    expect(asked).toEqual([]);
    await store.setFact('watch.owner', 'here/9/1');
    await takeOver(spy, self);
    await store.setFact('watch.owner', 'elsewhere/9/1');
    await takeOver(spy, self);
    await store.setFact('watch.owner', 'here/2/1');
    await takeOver(spy, self);
    expect(asked).toEqual(['here/9/1', 'here/2/1']);
    expect(await store.getFact('watch.owner')).toBe('here/2/5');
  });
});

describe('the running loop', () => {
  it('sleeps until something is due, wakes when poked, and ends when told to', async () => {
    const { store, clock, told, watch } = scene();
    await put(store);
    const stop = new AbortController();
    const running = watch.run(stop.signal);
    const settle = async (done: () => boolean) => {
      while (!done()) await new Promise((resolve) => setImmediate(resolve));
    };
    await settle(() => clock.sleeping === 1);
    clock.advance(DOWN - clock.wallMs());
    await settle(() => told.length === 1 && clock.sleeping === 1);
    watch.poke();
    await settle(() => clock.sleeping === 1);
    stop.abort();
    await running;
    expect(clock.sleeping).toBe(0);
    expect(phases(told)).toEqual(['channel: a word is due']);
  });

  it('does not let an alarm wait for a forecast, nor a failed forecast stop anything', async () => {
    const { store, clock, told, parts } = scene();
    await put(store);
    let forecast: () => Promise<undefined> = () => new Promise(() => {});
    const watch = new Watch({ ...parts, project: () => forecast() });
    const stop = new AbortController();
    const running = watch.run(stop.signal);
    const settle = async (done: () => boolean) => {
      while (!done()) await new Promise((resolve) => setImmediate(resolve));
    };
    await settle(() => clock.sleeping === 1);
    // The question an hour before hangs in its forecast; the alarm comes all the same.
    clock.advance(DOWN - HOUR - clock.wallMs());
    await settle(() => clock.sleeping === 1);
    clock.advance(HOUR);
    await settle(() => told.length === 1);
    expect(phases(told)).toEqual(['channel: a word is due']);
    stop.abort();
    let ended = false;
    void running.then(() => {
      ended = true;
    });
    // It waits a moment for what is on its way, once the store has answered.
    await settle(() => {
      clock.advance(2_000);
      return ended;
    });
    forecast = () => Promise.reject(new Error('no end in sight'));
    const other = scene();
    await put(other.store);
    const faults: string[] = [];
    const counters = { ...NO_COUNTERS, fault: (where: string) => faults.push(where) };
    await new Watch({ ...other.parts, counters, project: () => forecast() }).tick();
    expect(faults).toEqual(['fire']);
  });

  it('goes on after the store failed, and counts it', async () => {
    const { store, clock, told, parts } = scene();
    await put(store);
    let failing = true;
    const faults: string[] = [];
    const flaky = new Proxy(store, {
      get(target, name) {
        const value = target[name as keyof Store];
        if (name === 'claimDue' && failing) return () => Promise.reject(new Error('disk'));
        return typeof value === 'function' ? value.bind(target) : value;
      },
    });
    const watch = new Watch({
      ...parts,
      store: flaky,
      counters: { ...NO_COUNTERS, fault: (where) => faults.push(where) },
    });
    const stop = new AbortController();
    const running = watch.run(stop.signal);
    const settle = async (done: () => boolean) => {
      while (!done()) await new Promise((resolve) => setImmediate(resolve));
    };
    await settle(() => clock.sleeping === 1);
    expect(faults).toEqual(['loop']);
    expect(watch.status().faults).toBe(1);
    failing = false;
    clock.advance(DOWN - clock.wallMs());
    await settle(() => told.length === 1);
    expect(watch.status().faults).toBe(0);
    stop.abort();
    await running;
  });

  it('one trip that can’t be read does not keep the others from being watched', async () => {
    const { store, clock, told, parts } = scene();
    await put(store, 'tr1p0001');
    await put(store, 'tr1p0002');
    const faults: string[] = [];
    const torn = new Proxy(store, {
      get(target, name) {
        const value = target[name as keyof Store];
        if (name !== 'events') return typeof value === 'function' ? value.bind(target) : value;
        return (trip: string, afterSeq?: number) =>
          trip === 'tr1p0001' ? Promise.reject(new Error('torn')) : target.events(trip, afterSeq);
      },
    });
    const watch = new Watch({
      ...parts,
      store: torn,
      records: quietRecords(torn),
      counters: { ...NO_COUNTERS, fault: (where) => faults.push(where) },
    });
    clock.advance(DOWN - clock.wallMs());
    await watch.tick();
    expect(phases(told)).toEqual(['channel: a word is due']);
    expect(faults).toContain('fire');
  });
});

describe('waiting between attempts', () => {
  it('grows from seconds to ten minutes, spread by the notice, and heeds what the other side asks', () => {
    const waits = [1, 2, 3, 4, 5, 6, 60].map((n) => backOffMs(n, 'nonce'));
    expect(waits).toEqual([...waits].sort((a, b) => a - b));
    expect(waits[0]).toBeGreaterThanOrEqual(5_000);
    expect(waits.at(-1)).toBeLessThanOrEqual(750_000);
    expect(backOffMs(1, 'a')).not.toBe(backOffMs(1, 'b'));
    expect(backOffMs(1, 'a')).toBe(backOffMs(1, 'a'));
    expect(backOffMs(1, 'a', 60_000)).toBeGreaterThanOrEqual(60_000);
    expect(backOffMs(1, 'a', 1e9)).toBeLessThanOrEqual(1.25 * 900_000);
  });

  it('no other side puts distress off by more than a minute, or an alert by more than five', () => {
    const [distress, alert] = [0, 1].map((urgency) => backOffMs(1, 'a', 1e9, urgency));
    expect(distress).toBeLessThanOrEqual(1.25 * 60_000);
    expect(alert).toBeLessThanOrEqual(1.25 * 300_000);
    expect(backOffMs(1, 'a', 30_000, 0)).toBeGreaterThanOrEqual(30_000);
  });
});
