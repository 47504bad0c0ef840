/** What whoever runs the bot can see: health, metrics (Prometheus text format 0.0.4), the heartbeat. */
import { describe, expect, it, onTestFinished } from 'vitest';
import type { LoopStatus } from '../../src/delivery/loop.ts';
import { type Gateway, Health } from '../../src/ops/health.ts';
import { startHealthServer } from '../../src/ops/health-server.ts';
import { beat } from '../../src/ops/heartbeat.ts';
import { createCounters, createMetrics } from '../../src/ops/metrics.ts';
import type { UnreadableRecord } from '../../src/record/unreadable.ts';
import { type NoticeRow, StoreError } from '../../src/store/port.ts';
import { ManualClock } from '../helpers/clock.ts';

function scene() {
  const clock = new ManualClock();
  const is = {
    loop: { faults: 0, inFlight: 0, clockOffMs: 0 } as LoopStatus,
    gateway: { ready: true } as Gateway,
    broken: undefined as Error | undefined,
    trouble: undefined as string | undefined,
    unreadable: [] as UnreadableRecord[],
    waiting: [] as { urgency: number; dueAtMs: number }[],
    mail: undefined as string | undefined,
    missing: [] as string[],
  };
  const health = new Health({
    clock,
    store: {
      check: async () => (is.broken ? Promise.reject(is.broken) : is.trouble),
      readyNotices: async () => is.waiting as NoticeRow[],
    },
    records: {
      get unreadable() {
        return is.unreadable;
      },
    },
    missing: async () => is.missing,
    loop: () => is.loop,
    gateway: () => is.gateway,
    mail: () => is.mail,
  });
  return { clock, is, health };
}

describe('health', () => {
  it('is well while the loop looks, the store writes and the gateway is up', async () => {
    const { health } = scene();
    expect(await health.report()).toMatchObject({ ok: true });
  });

  it('says what the store has not made good yet, and is well', async () => {
    const { health, is } = scene();
    is.trouble = 'bytes of what was erased are still in the file (STORE_FULL)';
    const { ok, checks } = await health.report();
    expect(ok).toBe(true);
    expect(checks.store.says).toBe(`written; ${is.trouble}`);
  });

  it('fails when the loop has stalled, or never began', async () => {
    const { clock, is, health } = scene();
    clock.advance(119_000);
    expect((await health.report()).ok).toBe(true);
    clock.advance(2_000);
    expect((await health.report()).checks.loop.ok).toBe(false);
    is.loop = { ...is.loop, tickedMonoMs: clock.monoMs() };
    expect((await health.report()).ok).toBe(true);
    clock.advance(121_000);
    expect((await health.report()).checks.loop).toMatchObject({
      ok: false,
      says: 'looked 121 s ago',
    });
  });

  it('fails when the database can’t be written, with its code and without its path', async () => {
    const { is, health } = scene();
    is.broken = new StoreError('STORE_FULL', 'no room in /somewhere/private');
    const { ok, checks } = await health.report();
    expect([ok, checks.store.says]).toEqual([false, 'STORE_FULL']);
  });

  it('forgives a reconnect and not a gateway that is gone', async () => {
    const { is, health } = scene();
    is.gateway = { ready: false, lostAgeMs: 59_000 };
    expect((await health.report()).checks.gateway).toEqual({ ok: true, says: 'reconnecting' });
    // Measured from when it was lost, though nobody had asked since.
    is.gateway = { ready: false, lostAgeMs: 3_600_000 };
    expect((await health.report()).checks.gateway).toEqual({ ok: false, says: 'gone for 3600 s' });
    is.gateway = { ready: true };
    expect((await health.report()).ok).toBe(true);
  });

  it('fails on a connection that is open and deaf', async () => {
    const { is, health } = scene();
    is.gateway = { ready: true, heartbeatAgeMs: 151_000 };
    expect((await health.report()).checks.gateway).toEqual({ ok: false, says: 'deaf for 151 s' });
  });
});

describe('health distrusts itself', () => {
  it('fails on a chat that won’t have us back, and says what mends it', async () => {
    const { is, health } = scene();
    is.gateway = { ready: false, refused: 'Copy the token again.' };
    const { ok, checks } = await health.report();
    expect([ok, checks.gateway?.says]).toEqual([false, 'Copy the token again.']);
  });

  it('fails on a trip that can’t be handled, by its id', async () => {
    const { is, health } = scene();
    is.loop = { ...is.loop, failing: ['tr1p0001'] };
    const { ok, checks } = await health.report();
    expect([ok, checks.trips.says]).toEqual([false, "can't be handled: tr1p0001"]);
    expect((await health.numbers()).failingTrips).toBe(1);
  });

  it('fails on a trip that was open and is gone, by its id', async () => {
    const { is, health } = scene();
    is.missing = ['tr1p0001'];
    const { ok, checks } = await health.report();
    expect([ok, checks.missing.says]).toEqual([false, 'were open and are gone: tr1p0001']);
    expect(await health.numbers()).toMatchObject({ missingTrips: 1, storeBroken: 0 });
  });

  it.each([
    [0, 5],
    [1, 15],
    [2, 30],
    [3, 60],
    [5, 360],
  ])(
    'fails on a notice of urgency %i that waits for more than %i minutes',
    async (urgency, min) => {
      const { is, health, clock } = scene();
      clock.set(1e12);
      is.waiting = [{ urgency, dueAtMs: 1e12 - min * 60_000 }];
      expect((await health.report()).checks.notices).toEqual({ ok: true, says: 'in time' });
      is.waiting = [{ urgency, dueAtMs: 1e12 - min * 60_000 - 1 }];
      expect((await health.report()).checks.notices.ok).toBe(false);
      expect((await health.numbers()).lateNotices).toBe(1);
    },
  );

  it('fails on mail that is refused, and on a clock in doubt', async () => {
    const { is, health } = scene();
    is.mail = 'mail-login';
    is.loop = {
      ...is.loop,
      doubt: 'the clock is 3 h 0 min ahead of another machine’s',
      clockOffMs: 1.08e7,
    };
    const { ok, checks } = await health.report();
    expect([ok, checks.mail?.says, checks.clock.ok]).toEqual([false, 'mail-login', false]);
    expect(await health.numbers()).toMatchObject({ mailBroken: 1, clockOffSeconds: 10_800 });
  });
});

describe('the small server', () => {
  it('answers 200 and 503, and counts in Prometheus’ text form', async () => {
    const { is, health, clock } = scene();
    const { counters, registry } = createCounters();
    const loop = () => is.loop;
    const metrics = createMetrics({
      registry,
      loop,
      monoMs: () => clock.monoMs(),
      numbers: () => health.numbers(),
    });
    const server = await startHealthServer({
      report: () => health.report(),
      metrics,
      host: '127.0.0.1',
      port: 0,
    });
    onTestFinished(() => server.close());
    const get = async (path: string) => {
      const response = await fetch(`http://127.0.0.1:${server.port}${path}`);
      return { status: response.status, text: await response.text() };
    };
    expect((await get('/healthz')).status).toBe(200);
    is.broken = new Error('gone');
    const bad = await get('/healthz');
    expect(bad.status).toBe(503);
    expect(JSON.parse(bad.text)).toMatchObject({ ok: false, checks: { store: { ok: false } } });
    counters.fired('alert');
    counters.attempt('dm', 'never', 'direct-messages-closed');
    counters.ended('sent', 'ok', 4_000);
    counters.fault('send');
    const { text } = await get('/metrics');
    expect(text).toContain('tagline_phases_raised_total{phase="alert"} 1');
    expect(text).toContain(
      'tagline_delivery_attempts_total{way="dm",result="never",why="direct-messages-closed"} 1',
    );
    expect(text).toContain('tagline_notice_lateness_seconds_bucket{le="5"} 1');
    expect(text).toContain('tagline_watch_tick_age_seconds -1');
    expect(text).toContain('tagline_store_broken 1');
    expect(text).toContain('tagline_trips_missing 0');
    // Exposition format: each line a comment or a name, labels and a number.
    for (const line of text.split('\n').filter((l) => l !== '' && !l.startsWith('#'))) {
      expect(line).toMatch(/^[a-z_]+(\{([a-z_]+="[^"]*",?)+\})? -?[\d.e+]+$/);
    }
    expect((await get('/anything')).status).toBe(404);
  });
});

describe('the heartbeat to elsewhere', () => {
  it('goes out every minute while all is well and keeps still when it isn’t', async () => {
    const { clock, is, health } = scene();
    const asked: string[] = [];
    const stop = new AbortController();
    const running = beat(
      {
        clock,
        report: () => health.report(),
        ask: async (url) => asked.push(url) && 200,
        url: 'https://monitor.example.org/ping',
        everyMs: 60_000,
        log: { warn() {} },
      },
      stop.signal,
    );
    const settle = async () => {
      for (let i = 0; i < 20; i++) await new Promise((resolve) => setImmediate(resolve));
    };
    await settle();
    expect(asked).toHaveLength(1);
    clock.advance(60_000);
    await settle();
    expect(asked).toHaveLength(2);
    is.broken = new Error('gone');
    clock.advance(60_000);
    await settle();
    expect(asked).toHaveLength(2);
    is.broken = undefined;
    is.loop = { ...is.loop, tickedMonoMs: clock.monoMs() };
    clock.advance(60_000);
    await settle();
    expect(asked).toHaveLength(3);
    stop.abort();
    await running;
    expect(clock.sleeping).toBe(0);
  });

  it('gives up on a monitor that does not answer', async () => {
    const { clock, health } = scene();
    const stop = new AbortController();
    const warned: string[] = [];
    const running = beat(
      {
        clock,
        report: () => health.report(),
        ask: (_url, signal) =>
          new Promise((_, reject) =>
            signal.addEventListener('abort', () => reject(new Error('late'))),
          ),
        url: 'https://monitor.example.org/ping',
        everyMs: 60_000,
        log: { warn: (_fields, message) => warned.push(message) },
      },
      stop.signal,
    );
    for (let i = 0; i < 20; i++) await new Promise((resolve) => setImmediate(resolve));
    clock.advance(10_000);
    for (let i = 0; i < 20; i++) await new Promise((resolve) => setImmediate(resolve));
    expect(warned).toEqual(['the heartbeat did not go out']);
    stop.abort();
    await running;
  });
});
