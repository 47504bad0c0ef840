import { setImmediate } from 'node:timers/promises';
import { expect, it } from 'vitest';
import { KeptForecasts } from '../../../src/app/forecast/kept.ts';
import { runQuick } from '../../../src/app/forecast/run.ts';
import { trip } from '../../forecast/fixture.ts';

it('forecasts asked for at once are made one after the other, the first first', async () => {
  let turns = 0;
  const clock = {
    wallMs: () => 0,
    monoMs: () => 0,
    async sleep() {
      turns++;
      await setImmediate();
    },
  };
  const app = { clock, forecasts: new KeptForecasts() };
  const ended: [number, number][] = [];
  await Promise.all(
    [1, 2, 3].map(async (seed) => {
      await runQuick(app, trip({ seed, ascents: 4000 }));
      ended.push([seed, turns]);
    }),
  );
  expect(ended.map(([seed]) => seed)).toEqual([1, 2, 3]);
  const all = turns;
  expect(all).toBeGreaterThan(20);
  // Each has its own third of the turns, where slices of all three in turn would end them together.
  for (const [i, [, at]] of ended.entries()) {
    expect(Math.abs(at - ((i + 1) * all) / 3)).toBeLessThanOrEqual(3);
  }
});

it('one that fails doesn’t hold up the next', async () => {
  const clock = { wallMs: () => 0, monoMs: () => 0, sleep: () => setImmediate() };
  const app = { clock, forecasts: new KeptForecasts() };
  const bad = runQuick(app, trip({ pitches: [] }));
  const good = runQuick(app, trip({ ascents: 200 }));
  await expect(bad).rejects.toThrow(RangeError);
  expect((await good).topout.q50).toBeGreaterThan(0);
});
