import type { Compiled } from './compile.ts';
import type { Ascent } from './draw.ts';
import { dayOf, setOff } from './nights.ts';
import { type DrawnRain, dryOff } from './rain.ts';
import { firstOff, onwardMin } from './state.ts';
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

/** The first leg whose work is drawn whole; the one under way has only its rest. */
export function firstDrawn({ state, underWay }: Compiled): number {
  return state.leg + (underWay ? 1 : 0);
}

/**
 * Work of the leg that led to the stance before leg `k`: as drawn, or as expected where it was done before now. Of the
 * one under way, what was done since the last pause: who began it this morning owes no rest at its end.
 */
export function lastLegMin(c: Compiled, a: Ascent, k: number): number {
  const { underWay } = c.state;
  if (k > firstDrawn(c)) return a.workMin[k - 1] ?? 0;
  if (underWay === undefined || k < firstDrawn(c)) return c.rules.legMin[k - 1] ?? 0;
  const spentMin = c.state.resumeMin > 0 ? 0 : Math.min(underWay.spentMin, -underWay.onMin);
  return (a.workMin[k - 1] ?? 0) + spentMin;
}

/** Lays an ascent's legs out in time, in its own rain unless another is given, and returns the top-out. */
export function layOut(c: Compiled, a: Ascent, line: Timeline, rain: DrawnRain = a.rain): number {
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
    const { fromMin } = c.underWay;
    // What hangs above is finished in the rain; after a night or a hold it is begun like any other.
    const begin = fromMin > 0 ? dryOff(rules, rain, k, fromMin, 1) : fromMin;
    if (fromMin > 0) noteNight(c, line, k, stillFrom(c), begin);
    beginMin[k] = begin;
    t = finishOf(clock, begin, a.workMin[k] as number);
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
    let off = t;
    if (
      late ||
      t < start + lastLegMin(c, a, k) ||
      day <= (rules.nightDay[k] as number) ||
      k === state.leg
    ) {
      off =
        k === state.leg
          ? firstOff(rules, state, a.scale) + (k === 0 ? a.lateMin : 0)
          : setOff(rules, k, t, a.scale, lastLegMin(c, a, k));
    }
    if (rain.count > 0) off = dryOff(rules, rain, k, off, a.scale);
    const sinceMin = k === state.leg ? stillFrom(c) : t;
    noteNight(c, line, k, sinceMin, off);
    if (off > t) {
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

/** From when nights at the stance they are at are still to come: after the one they lie down for, else from now or from when they get there. */
function stillFrom({ input, state }: Compiled): number {
  const { readyMin, settled } = state;
  if (!settled || input.settled === undefined) return Math.max(0, readyMin);
  return (input.settled.untilMs - input.nowMs) / 60_000;
}

/** Writes down a night spent at the stance before leg `k`, and whether all can lie down there. */
function noteNight(
  { rules }: Compiled,
  line: Timeline,
  k: number,
  fromMin: number,
  offMin: number,
): void {
  if (offMin <= fromMin || !sitsOut(rules.startMin, fromMin, offMin)) return;
  if (rules.bed[k] === 0) line.exposed = true;
  if (line.nightLeg < 0) line.nightLeg = k;
}

/** Whether a night lies between being ready and setting off. */
function sitsOut(startMin: Float64Array, readyMin: number, offMin: number): boolean {
  return readyMin > (startMin[0] as number) && dayOf(startMin, offMin) > dayOf(startMin, readyMin);
}
