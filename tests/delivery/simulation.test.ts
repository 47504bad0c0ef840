import fc from 'fast-check';
import { expect, it } from 'vitest';
import { runs } from '../helpers/long.ts';
import { playSchedule } from './sim/play.ts';
import { schedules } from './sim/schedule.ts';

const SCHEDULES = runs(40, 1000);

it('misses nothing, tells nobody twice and falls silent when everyone is down, whatever breaks', async () => {
  let shown = 0;
  await fc.assert(
    fc.asyncProperty(schedules, async (schedule) => {
      shown += (await playSchedule(schedule)).shown;
    }),
    // `npm run simulate` plays thousands.
    { numRuns: SCHEDULES, seed: 20310612 },
  );
  // Schedules in which nothing happens would prove nothing.
  expect(shown).toBeGreaterThan(4 * SCHEDULES);
});
