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
 * - Nights follow one rule, a limit by stance and day (`nights.ts`). A pitch once begun is finished.
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
import { onwardMin } from './state.ts';
import { type LegTables, legTables } from './tables.ts';
import { finishOf } from './work-clock.ts';

/** Where an ascent's legs came to lie in time. */
export interface Timeline {
  beginMin: Float64Array;
  endMin: Float64Array;
  /** A night is spent where not everybody can lie down. */
  exposed: boolean;
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
  return { beginMin: new Float64Array(length), endMin: new Float64Array(length), exposed: false };
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

/** Lays an ascent's legs out in time, and returns the top-out. */
export function layOut(c: Compiled, a: Ascent, line: Timeline): number {
  const { rules, clock, state } = c;
  const { ends, rates } = clock;
  const { startMin, stopMin } = rules;
  const { beginMin, endMin } = line;
  const days = startMin.length;
  line.exposed = false;
  let k = state.leg;
  let t = onwardMin(c.state);
  if (k === c.legs.length) return state.readyMin;
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
    // Well within the day every stance's rule says go; the rule itself is asked only later, or before the start.
    const sure = (stopMin[day] as number) - rules.stopEarlyMaxMin;
    if (t > sure || t < (startMin[day] as number)) {
      const off = setOff(rules, k, t, a.scale);
      if (off > t && t > (startMin[0] as number) && rules.refuge[k] === 0) line.exposed = true;
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
