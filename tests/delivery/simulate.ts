/**
 * The long simulation: `node .bench/tests/delivery/simulate.js [schedules] [seed]`. Prints one line of
 * figures; fails with the shrunk schedule that broke a promise. A seed that isn't given is drawn, and
 * printed, so that any run can be had again.
 */
import { randomInt } from 'node:crypto';
import { performance } from 'node:perf_hooks';
import fc from 'fast-check';
import { playSchedule } from './sim/play.ts';
import { schedules } from './sim/schedule.ts';

const runs = Number(process.argv[2] ?? 10_000);
const seed = Number(process.argv[3] ?? randomInt(1, 2 ** 31 - 1));
const said = (text: string) => void process.stdout.write(`${text}\n`);

said(`simulate: ${runs} schedules, seed ${seed}`);
let [played, shown, events] = [0, 0, 0];
const startMs = performance.now();
await fc.assert(
  fc.asyncProperty(schedules, async (schedule) => {
    const result = await playSchedule(schedule);
    played += 1;
    shown += result.shown;
    events += result.events;
    if (played % 1000 === 0) said(`  ${played} schedules held`);
  }),
  { numRuns: runs, seed },
);
const seconds = Math.round((performance.now() - startMs) / 1000);
said(
  `watch.simulation.schedules = ${played} in ${seconds} s, ${shown} messages shown, ${events} entries`,
);
