/**
 * The long simulation: `node .bench/tests/delivery/simulate.js [runs] [seed] [watch|rules]`. Plays `runs`
 * schedules on the whole watch with its store and ways, and as many histories on the alarm's rules; or one
 * of the two. Prints a line of figures for each; fails with the shrunk one that broke a promise, its seed
 * and its path. A seed that isn't given is drawn, and printed, so that any run can be had again.
 */
import { randomInt } from 'node:crypto';
import { performance } from 'node:perf_hooks';
import fc from 'fast-check';
import { histories } from '../alarm/model/moves.ts';
import { playHistory } from '../alarm/model/play.ts';
import { playSchedule } from './sim/play.ts';
import { schedules } from './sim/schedule.ts';

const runs = Number(process.argv[2] ?? 10_000);
const seed = Number(process.argv[3] ?? randomInt(1, 2 ** 31 - 1));
const only = process.argv[4];
const said = (text: string) => void process.stdout.write(`${text}\n`);
const startMs = performance.now();
const seconds = () => Math.round((performance.now() - startMs) / 1000);

said(`simulate: ${runs} of each, seed ${seed}`);
if (only !== 'rules') await wholeWatch();
if (only !== 'watch') rules();

async function wholeWatch(): Promise<void> {
  let [played, shown, events] = [0, 0, 0];
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
  said(
    `watch.simulation.schedules = ${played} in ${seconds()} s, ${shown} messages shown, ${events} entries`,
  );
}

function rules(): void {
  const met = new Map<string, number>();
  let played = 0;
  fc.assert(
    fc.property(histories, (history) => {
      playHistory(history, met);
      played += 1;
      if (played % 1000 === 0) said(`  ${played} histories held, ${seconds()} s`);
    }),
    { numRuns: runs, seed },
  );
  said(`watch.rules.histories = ${played} in ${seconds()} s`);
  for (const [what, times] of [...met].sort()) said(`  ${what}: ${times}`);
}
