/**
 * The model, and the loop over ascents. Everything a forecast says comes from the same drawn ascents.
 *
 * - A stage is lognormal: times are positive, skewed, and errors are ratios (a pitch may take double,
 *   never less than nothing). Its median is the expected time, stretched by the ascent's pace.
 * - Pace is one for a whole ascent, from what has been learnt: a party that is slow is slow all day. That,
 *   not the luck of single pitches, is most of the doubt about a top-out.
 * - A leg is lead, anchor and fix, then the longer of haul and follow, then changeover. The third comes
 *   up beside the next lead, and holds up only the next second. A link is one leg.
 * - The leg under way is one lognormal with the moments of its stages (Fenton–Wilkinson; the longer of
 *   two in closed form), cut off at the work already spent. Its time and the pace are drawn together:
 *   a pitch that won't end also says the party is slow, as far as an outlier may.
 * - Stages are work; the dark stretches work only while it is dark (`work-clock.ts`).
 * - The plan is carried out in every ascent. A planned night is obeyed: whoever gets to that stance by its day
 *   sleeps there until the next day's start, however early it came; whoever comes a day later has slept lower down.
 *   It is used up when the party has slept there, or has gone past it. After a night planned on top the way down begins next morning.
 * - Other nights follow one rule, a limit by stance and day (`nights.ts`). A party that can wait begins no pitch
 *   after the stop-climbing time, and leaves a good ledge only when the next place to sleep or the top is likely
 *   before it. From a stance with no bed it may climb on in the dark. A pitch once begun is finished.
 * - Round every night lie evening work, the least rest and morning work. A day's start is its first move.
 * - Every step from one stance to the next keeps the order of times: ready later is done later, with
 *   the same luck. So a later completion never brings the top-out forward, and latest times can be
 *   found backwards, exactly, ascent by ascent (`latest.ts`).
 * - The descent starts from the top-out at once, by day or night; then the timetable, or the walk.
 * - The same seed gives the same luck to the same pitch, whatever was posted (`layout.ts`).
 *
 * - Rain that was told with a chance falls in that share of the ascents, and holds them where it finds them (`rain.ts`).
 *
 * Left out for want of a source: tiredness, other weather, retreat.
 */
import type { Compiled } from './compile.ts';
import { type Ascent, drawAscent, newAscent } from './draw.ts';
import type { HangingJob } from './hanging.ts';
import { layOut, newTimeline, type Timeline } from './lay-out.ts';
import { newOutcomes, type Outcomes, record } from './outcomes.ts';
import { caughtAt, firstRain, newRain } from './rain.ts';
import { type LegTables, legTables } from './tables.ts';

/** A simulation that can be carried on in slices. */
export interface Simulation {
  compiled: Compiled;
  tables: LegTables;
  ascent: Ascent;
  line: Timeline;
  jobs: readonly HangingJob[];
  outcomes: Outcomes;
  next: number;
}

/** Makes the ascents of a compiled forecast ready to be drawn. */
export function newSimulation(compiled: Compiled, jobs: readonly HangingJob[]): Simulation {
  return {
    compiled,
    tables: legTables(compiled),
    ascent: newAscent(compiled),
    line: newTimeline(compiled),
    jobs,
    outcomes: newOutcomes(compiled, compiled.input.ascents, jobs.length),
    next: 0,
  };
}

/** Runs up to `count` more; true when all are done. */
export function runSlice(sim: Simulation, count: number): boolean {
  const { compiled, tables, ascent, line, jobs, outcomes } = sim;
  const end = Math.min(outcomes.count, sim.next + count);
  for (; sim.next < end; sim.next++) {
    drawAscent(compiled, tables, ascent, sim.next);
    const topoutMin = layOut(compiled, ascent, line);
    record(compiled, { ascent, line, topoutMin }, jobs, outcomes, sim.next);
    if (compiled.rain) recordRain(sim, topoutMin);
  }
  return sim.next >= outcomes.count;
}

const DRY = newRain(undefined);

/** Whether the rain finds them on the wall, where they wait then, and how much earlier the same ascent is up without it. */
function recordRain({ compiled: c, ascent, line, outcomes }: Simulation, topoutMin: number): void {
  const { rain } = outcomes;
  const { leg } = c.state;
  if (topoutMin < firstRain(ascent.rain)) rain.dryTop++;
  const onWall = leg > 0 || c.underWay ? 0 : (line.beginMin[leg] as number);
  const at = caughtAt(ascent.rain, onWall, topoutMin);
  if (leg === c.legs.length || at === Number.POSITIVE_INFINITY) return;
  let k = leg;
  while (k < c.legs.length && (line.beginMin[k] as number) < at) k++;
  rain.heldAt[k] = (rain.heldAt[k] as number) + 1;
  const dryMin = layOut(c, ascent, line, DRY);
  rain.costMin[rain.caught++] = dryMin === topoutMin ? 0 : topoutMin - dryMin;
}
