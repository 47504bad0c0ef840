import { expect, onTestFinished, test } from 'vitest';
import { connectAtMs, mayConnect } from '../../src/run/connect-pace.ts';
import { ManualClock } from '../helpers/clock.ts';
import { storeAt } from '../store/help.ts';

const MINUTE = 60_000;
const NOW = Date.parse('2031-06-12T06:00:00Z');

test.each([
  ['never before', [], 0],
  ['four times in the last hour', [1, 2, 3, 4], 0],
  ['five times, the last a second ago', [1, 2, 3, 4, 1 / 60], 2 * MINUTE - 1000],
  ['five times, long ago', [61, 62, 63, 64, 65], 0],
  ['by a clock that was ahead', [-5, -5, -5, -5, -5], 0],
])('%s', (_, minutesAgo, waitMs) => {
  const before = minutesAgo.map((m) => NOW - m * MINUTE);
  expect(connectAtMs(before, NOW) - NOW).toBe(waitMs);
});

/** Discord's documentation of the gateway, "Session Start Limit": 1,000 a day is the usual total. */
test('a process that is started anew for ever connects less than a thousand times a day', async () => {
  const { store } = storeAt();
  const clock = new ManualClock();
  clock.set(NOW);
  let count = 0;
  while (clock.wallMs() < NOW + 24 * 60 * MINUTE) {
    const may = mayConnect({ store, clock }, new AbortController().signal);
    // Restarted five seconds after it ended.
    for (let done = false; !done; ) {
      await Promise.race([
        may.then(() => {
          done = true;
        }),
        new Promise(setImmediate),
      ]);
      if (!done && clock.sleeping > 0) clock.advance(5000);
    }
    count += 1;
    clock.advance(5000);
  }
  expect(count).toBeGreaterThan(600);
  expect(count).toBeLessThan(1000);
});

test('it waits no longer when it is to stop, and then does not connect', async () => {
  const { store } = storeAt();
  const clock = new ManualClock();
  clock.set(NOW);
  const stop = new AbortController();
  onTestFinished(() => stop.abort());
  for (let i = 0; i < 5; i++) expect(await mayConnect({ store, clock }, stop.signal)).toBe(true);
  const waiting = mayConnect({ store, clock }, stop.signal);
  stop.abort();
  expect(await waiting).toBe(false);
});
