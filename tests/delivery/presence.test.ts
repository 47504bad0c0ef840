import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { expect, it, onTestFinished } from 'vitest';
import { Presence } from '../../src/delivery/presence.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { ManualClock } from '../helpers/clock.ts';
import { ROOM } from '../helpers/room.ts';
import { DAWN_MS, notice, open } from '../store/posts.ts';

it('a process takes over within half a minute what another had on its way that has ended', async () => {
  const folder = mkdtempSync(join(ROOM, 'tagline-presence-'));
  const clock = new ManualClock();
  clock.set(DAWN_MS);
  const path = join(folder, 'trips.db');
  const [one, two] = [openSqliteStore({ path, clock }), openSqliteStore({ path, clock })];
  onTestFinished(async () => {
    await one.close();
    await two.close();
    rmSync(folder, { recursive: true, force: true });
  });
  await open(one, 't1', { notices: [notice('t1', 'n1')] });
  const log = pino({ level: 'silent' });
  let woken = 0;
  const first = new Presence({ store: one, clock, log, owner: 'one' }, () => {});
  const second = new Presence({ store: two, clock, log, owner: 'two' }, () => {
    woken += 1;
  });
  const off = new AbortController();
  await first.show();
  await second.show();
  const claim = { nowMs: DAWN_MS, leaseUntilMs: DAWN_MS + 3_600_000, limit: 1 };
  expect(await one.claimNotices({ ...claim, owner: 'one' })).toHaveLength(1);
  // From here on the first is silent, as a process is that was killed.
  const running = second.run(off.signal);
  const beat = async (seconds: number) => {
    for (let i = 0; i < seconds; i++) {
      while (clock.sleeping === 0) await new Promise((resolve) => setImmediate(resolve));
      clock.advance(1_000);
      for (let n = 0; n < 20; n++) await new Promise((resolve) => setImmediate(resolve));
    }
  };
  await beat(14);
  expect(woken).toBe(0);
  expect(await two.claimNotices({ ...claim, owner: 'two' })).toEqual([]);
  await beat(7);
  expect(woken).toBe(1);
  expect(await two.claimNotices({ ...claim, owner: 'two' })).toHaveLength(1);
  off.abort();
  await running;
});
