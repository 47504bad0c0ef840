/** The clock alone is no news: from one minute to the next, with nothing told, a forecast hardly moves. */
import { afterEach, beforeEach, expect, it } from 'vitest';
import { forecastOf } from '../../../src/app/forecast/run.ts';
import type { Quantiles } from '../../../src/forecast/model.ts';
import { FRI, openTwoDays, THU, upTo } from '../../commands/two-days.ts';
import { type World, world } from '../../helpers/world.ts';
import { climb } from './said.ts';

const MINUTE = 60_000;
let w: World;
beforeEach(async () => {
  w = await world();
  await openTwoDays(w);
});
afterEach(() => w.close());

/** The largest step of any quantile of the top-out from one minute to the next, minutes. */
async function largestStep(from: string, minutes: number): Promise<number> {
  w.at(from);
  const { state } = await w.trip();
  let before: Quantiles | undefined;
  let most = 0;
  for (let m = 0; m <= minutes; m++) {
    const top = (await forecastOf(w.app, state, w.clock.wallMs() + m * MINUTE))?.topout;
    if (top === undefined) throw new Error('no forecast');
    const was = before ?? top;
    for (const q of ['q10', 'q50', 'q90'] as const)
      most = Math.max(most, Math.abs(top[q] - was[q]));
    before = top;
  }
  return most / MINUTE;
}

it('when a night is over by the time they meant to get up, and nobody tells', async () => {
  await upTo(w, 5);
  await climb(w, THU, [['13:00', 'mara', '/bivy settle until:05:30']]);
  // An hour on the ledge before they lay down was once taken for an hour on pitch 6.
  expect(await largestStep(`${FRI} 06:27`, 6)).toBeLessThanOrEqual(2);
});

it('in the minute after they left the ledge', async () => {
  await upTo(w, 5);
  await climb(w, THU, [['13:00', 'mara', '/bivy settle until:05:30']]);
  await climb(w, FRI, [['05:50', 'mara', '/bivy leave']]);
  // Who began pitch 6 this morning owes no rest at its end, however quick it was.
  expect(await largestStep(`${FRI} 05:50`, 4)).toBeLessThanOrEqual(5);
});

it('when a wait ends', async () => {
  await upTo(w, 3);
  await climb(w, THU, [
    ['10:30', 'mara', '/bivy plan pitch:5 drop:yes'],
    ['11:00', 'mara', '/pitch break wait:12:00 why:weather'],
  ]);
  expect(await largestStep(`${THU} 11:57`, 6)).toBeLessThanOrEqual(5);
});

it('when a wet-rock hold ends', async () => {
  await upTo(w, 3);
  await climb(w, THU, [
    ['10:10', 'mara', '/weather rock hours:1 source:common'],
    ['10:20', 'mara', '/rain start'],
    ['11:00', 'mara', '/rain stop'],
  ]);
  expect(await largestStep(`${THU} 11:57`, 6)).toBeLessThanOrEqual(5);
});
