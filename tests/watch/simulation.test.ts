import fc from 'fast-check';
import { expect, it } from 'vitest';
import { playSchedule } from './sim/play.ts';
import { schedules } from './sim/schedule.ts';

it('misses nothing, tells nobody twice and falls silent when everyone is down, whatever breaks', async () => {
  let shown = 0;
  await fc.assert(
    fc.asyncProperty(schedules, async (schedule) => {
      shown += (await playSchedule(schedule)).shown;
    }),
    { numRuns: 250, seed: 20310612 },
  );
  // Schedules in which nothing happens would prove nothing.
  expect(shown).toBeGreaterThan(1000);
});
