import type { Compiled } from './compile.ts';
import type { Ascent } from './draw.ts';
import type { Timeline } from './lay-out.ts';
import { pausesOf } from './observations.ts';
import { onwardMin } from './state.ts';

/** When somebody reaches a stance, or leaves it, in the pitch below or above. */
type Moment = 'leader' | 'second' | 'third';

/** One climber at one hanging stance. */
export interface HangingJob {
  pitch: number;
  climber: number;
  /** Leg that ends at the stance; the next one leaves it. −1: the stance is where the party is now. */
  below: number;
  above: number;
  arrives: Moment;
  leaves: Moment;
  /** For the stance where the party is now: since when it hangs there, and when it is ready to go on. */
  sinceMin: number;
  readyMin: number;
}

/**
 * Who follows first: the one who leads next, so that the gear is at hand; if the same leads again,
 * the one who led before; else the first in the list.
 */
function secondOf(c: Compiled, k: number): number {
  const leader = c.legs[k]?.leader;
  for (const other of [c.legs[k + 1]?.leader, c.legs[k - 1]?.leader]) {
    if (other !== undefined && other >= 0 && other !== leader) return other;
  }
  return leader === 0 ? 1 : 0;
}

function role(c: Compiled, k: number, climber: number): Moment {
  if (c.legs[k]?.leader === climber) return 'leader';
  return secondOf(c, k) === climber ? 'second' : 'third';
}

/** Everybody at every hanging stance from the one the party is at; the top doesn't count. */
export function hangingJobs(c: Compiled): HangingJob[] {
  const jobs: HangingJob[] = [];
  for (let k = Math.max(0, c.state.leg - 1); k < c.legs.length - 1; k++) {
    const pitch = c.input.pitches[c.legs[k]?.last ?? -1];
    if (pitch?.stance !== 'hanging') continue;
    const here = k < c.state.leg;
    for (let climber = 0; climber < c.input.climbers.length; climber++) {
      jobs.push({
        pitch: pitch.number,
        climber,
        below: here ? -1 : k,
        above: k + 1,
        arrives: role(c, k, climber),
        leaves: role(c, k + 1, climber),
        sinceMin: hangsSince(c),
        readyMin: c.underWay ? Number.POSITIVE_INFINITY : onwardMin(c.state),
      });
    }
  }
  return jobs;
}

/** Where the party is now it hangs since it got there, or since the last hold or night ended. */
function hangsSince(c: Compiled): number {
  const { readyMin, resumeMin } = c.state;
  if (resumeMin > 0) return resumeMin;
  const ends = pausesOf(c.input).map((pause) => (pause.toMs - c.input.nowMs) / 60000);
  return Math.max(readyMin, ...ends.filter((min) => min <= 0));
}

/** Moment of a leg in minutes of wall time; within a leg work is spread evenly over the time it took. */
function wallAt(line: Timeline, a: Ascent, k: number, workMin: number): number {
  const begin = line.beginMin[k] as number;
  const all = a.workMin[k] as number;
  return all > 0 ? begin + ((line.endMin[k] as number) - begin) * (workMin / all) : begin;
}

/**
 * How long the climber hangs there in this ascent, minutes; a night between is spent lying down or is
 * counted as a night in the open, not as hanging.
 *
 * Leader: from the top of the own lead. Second and third: from when they are up. Whoever leads on
 * leaves at once; the second leaves when the line above is fixed, the third when the second is up.
 */
export function hangingMin(job: HangingJob, a: Ascent, line: Timeline): number {
  const { below, above } = job;
  let from = job.sinceMin;
  let readyMin = job.readyMin;
  if (below >= 0) {
    readyMin = line.endMin[below] as number;
    const work =
      job.arrives === 'leader'
        ? (a.leadMin[below] as number)
        : job.arrives === 'second'
          ? (a.followedMin[below] as number)
          : (a.workMin[below] as number) + (a.lagMin[below] as number);
    from = wallAt(line, a, below, work);
  }
  const begin = line.beginMin[above] as number;
  const leaves =
    job.leaves === 'leader'
      ? 0
      : job.leaves === 'second'
        ? (a.fixedMin[above] as number)
        : (a.sideMin[above] as number);
  const nightMin = Math.max(0, begin - readyMin);
  return Math.max(0, wallAt(line, a, above, leaves) - from - nightMin);
}
