import type { Compiled } from '../compile.ts';
import type { Lognormal } from '../moments.ts';
import { workBetween } from '../work-clock.ts';
import { type Arrival, arrivalOn, type Line, momentAt, type OnLine, placeAt } from './arrival.ts';
import { type Boarding, boardingOf } from './boarding.ts';
import { leftAt, restArrival, restFrom } from './rest.ts';
import { dayZeroMin, toWork, workScale } from './scale.ts';
import { lognormalShape } from './shape.ts';
import { addAfter, addEvenly, isEmpty, newSpread, type Steps } from './spread.ts';
import { layOutSteps, newSteps } from './steps.ts';

/** From the top to the road. */
export interface WayDown {
  trailhead: Arrival;
  boarding: Boarding;
}

function stepsOf(time: Lognormal | undefined, stepMin: number): Steps {
  const steps = newSteps();
  if (time) layOutSteps(lognormalShape(time), stepMin, steps);
  return steps;
}

/** A time is laid out in about so many bins up to a wide one of it, 99 in 100; so nothing here takes long. */
const BINS = 500;
const WIDE_SD = 2.33;

/** Width of a bin for these times, minutes: at least `leastMin`, and more where they are very wide. */
function stepFor(leastMin: number, ...times: (Lognormal | undefined)[]): number {
  const wide = times.map((time) => (time ? Math.exp(time.mu + WIDE_SD * time.sigma) / BINS : 0));
  return Math.max(leastMin, ...wide);
}

/** A line for the way down, where another factor holds for the dark: between two moments, and `more` bins. */
function lineDown(
  c: Compiled,
  stepMin: number,
  fromMin: number,
  toMin: number,
  more: number,
): Line {
  const scale = workScale(c.wayOut.clock, dayZeroMin(c.input));
  const first = Math.floor(toWork(scale, fromMin) / stepMin) - 2;
  const last = Math.ceil(toWork(scale, toMin) / stepMin) + more + 8;
  return { scale, grid: { stepMin, first, count: last - first } };
}

/** The way down for a party that isn't up yet. */
export function wayDownFrom(c: Compiled, top: OnLine): WayDown {
  const { descent, walk } = c.wayOut;
  const stepMin = stepFor(top.grid.stepMin, descent, walk);
  const descentSteps = stepsOf(descent, stepMin);
  const walkSteps = stepsOf(walk, stepMin);
  const more = descentSteps.first + descentSteps.count + walkSteps.first + walkSteps.count;
  const { mass, low, high } = top.spread;
  const edgeMin = (i: number): number => momentAt(top, i - 0.5);
  const line = lineDown(c, stepMin, edgeMin(low), edgeMin(high), more);
  const up = newSpread(line.grid);
  for (let i = low; i < high; i++) {
    const chance = mass[i] as number;
    if (chance === 0) continue;
    addEvenly(up, placeAt(line, edgeMin(i)), placeAt(line, edgeMin(i + 1)), chance);
  }
  const spread = newSpread(line.grid);
  addAfter(up, descentSteps, spread);
  const road = { ...line, spread };
  return { trailhead: arrivalOn(road), boarding: leaving(c, road, walkSteps) };
}

/** Width of a bin when there is nothing left to climb, minutes. */
const STEP_LEAST_MIN = 2;
/** Longer than this much bad luck nobody is followed down: 3 in 100,000. */
const LONGEST_SD = 4;

/** The way down for a party that topped out at `topMin`, and hasn't told that it is down. */
export function wayDownSince(c: Compiled, topMin: number): WayDown {
  const { descent, walk, clock } = c.wayOut;
  const fromMin = Math.max(0, topMin);
  const begun = {
    mean: descent.mu,
    sd: descent.sigma,
    spentMin: workBetween(clock, topMin, fromMin),
  };
  const stepMin = stepFor(Math.max(STEP_LEAST_MIN, leftAt(begun, WIDE_SD) / BINS), walk);
  const walkSteps = stepsOf(walk, stepMin);
  const longest = Math.ceil(leftAt(begun, LONGEST_SD) / stepMin);
  const more = longest + walkSteps.first + walkSteps.count;
  const line = lineDown(c, stepMin, fromMin, fromMin, more);
  const spread = restFrom(line.grid, placeAt(line, fromMin), begun);
  return {
    trailhead: restArrival(clock, fromMin, begun),
    boarding: leaving(c, { ...line, spread }, walkSteps),
  };
}

function leaving(c: Compiled, road: OnLine, walkSteps: Steps): Boarding {
  const walks = c.wayOut.walk !== undefined && !isEmpty(road.spread);
  return boardingOf(c.wayOut, road, walks ? walkSteps : undefined);
}
