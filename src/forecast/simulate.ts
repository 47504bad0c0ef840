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
 * Left out for want of a source: tiredness, weather but for a hold, retreat.
 */
import type { Compiled } from './compile.ts';
import { type Ascent, drawAscent, newAscent } from './draw.ts';
import type { HangingJob } from './hanging.ts';
import { dayOf, setOff } from './nights.ts';
import { newOutcomes, type Outcomes, record } from './outcomes.ts';
import { firstOff, onwardMin } from './state.ts';
import { type LegTables, legTables } from './tables.ts';
import { finishOf } from './work-clock.ts';

/** Where an ascent's legs came to lie in time. */
export interface Timeline {
  beginMin: Float64Array;
  endMin: Float64Array;
  /** A night is spent where not everybody can lie down. */
  exposed: boolean;
  /** The stance of the next night, as the leg that is begun from it; −1 without one. */
  nightLeg: number;
}

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

/** Room for the timeline of an ascent. */
export function newTimeline(c: Compiled): Timeline {
  const { length } = c.legs;
  return {
    beginMin: new Float64Array(length),
    endMin: new Float64Array(length),
    exposed: false,
    nightLeg: -1,
  };
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

/** The first leg whose work is drawn whole; the one under way has only its rest. */
export function firstDrawn({ state, underWay }: Compiled): number {
  return state.leg + (underWay ? 1 : 0);
}

/** Work of the leg that led to the stance before leg `k`: as drawn, or as expected where it was begun before now. */
export function lastLegMin(c: Compiled, a: Ascent, k: number): number {
  return (k > firstDrawn(c) ? a.workMin[k - 1] : c.rules.legMin[k - 1]) ?? 0;
}

/** Lays an ascent's legs out in time, and returns the top-out. */
export function layOut(c: Compiled, a: Ascent, line: Timeline): number {
  const { rules, clock, state } = c;
  const { ends, rates } = clock;
  const { startMin, stopMin } = rules;
  const { beginMin, endMin } = line;
  const days = startMin.length;
  line.exposed = false;
  line.nightLeg = -1;
  let k = state.leg;
  if (k === c.legs.length) return state.readyMin;
  let t = onwardMin(state);
  if (c.underWay) {
    beginMin[k] = c.underWay.fromMin;
    t = finishOf(clock, c.underWay.fromMin, a.workMin[k] as number);
    endMin[k] = t;
    k++;
  }
  let day = Math.max(0, dayOf(startMin, t));
  let segment = 0;
  for (; k < c.legs.length && t < Number.POSITIVE_INFINITY; k++) {
    while (day + 1 < days && (startMin[day + 1] as number) <= t) day++;
    const start = startMin[day] as number;
    // Well within the day every stance's rule says go; the rule itself is asked only outside, and where a night is planned.
    const late = t > (stopMin[day] as number) - rules.stopEarlyMaxMin;
    if (
      late ||
      t < start + lastLegMin(c, a, k) ||
      day <= (rules.nightDay[k] as number) ||
      k === state.leg
    ) {
      const off =
        k === state.leg
          ? firstOff(rules, state, a.scale)
          : setOff(rules, k, t, a.scale, lastLegMin(c, a, k));
      if (sitsOut(startMin, t, off)) {
        if (rules.bed[k] === 0) line.exposed = true;
        if (line.nightLeg < 0) line.nightLeg = k;
      }
      t = off;
      if (t === Number.POSITIVE_INFINITY) break;
    }
    beginMin[k] = t;
    while ((ends[segment] as number) <= t) segment++;
    const straight = t + (a.workMin[k] as number) / (rates[segment] as number);
    t =
      straight <= (ends[segment] as number) ? straight : finishOf(clock, t, a.workMin[k] as number);
    endMin[k] = t;
  }
  for (; k < c.legs.length; k++) {
    beginMin[k] = t;
    endMin[k] = t;
  }
  return t;
}

/** Whether a night lies between being ready and setting off. */
function sitsOut(startMin: Float64Array, readyMin: number, offMin: number): boolean {
  return readyMin > (startMin[0] as number) && dayOf(startMin, offMin) > dayOf(startMin, readyMin);
}

/** Runs up to `count` more; true when all are done. */
export function runSlice(sim: Simulation, count: number): boolean {
  const { compiled, tables, ascent, line, jobs, outcomes } = sim;
  const end = Math.min(outcomes.count, sim.next + count);
  for (; sim.next < end; sim.next++) {
    drawAscent(compiled, tables, ascent, sim.next);
    const topoutMin = layOut(compiled, ascent, line);
    record(compiled, { ascent, line, topoutMin }, jobs, outcomes, sim.next);
  }
  return sim.next >= outcomes.count;
}
