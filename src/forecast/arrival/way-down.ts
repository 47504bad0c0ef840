import type { Compiled } from '../compile.ts';
import type { Lognormal } from '../moments.ts';
import { workBetween } from '../work-clock.ts';
import {
  type Arrival,
  arrivalOn,
  type MassOnAxis,
  momentAt,
  placeAt,
  type WorkAxis,
} from './arrival.ts';
import { type Boarding, boardingOf } from './boarding.ts';
import { lognormalCentralMoments } from './central-moments.ts';
import { discretise, newDuration } from './duration.ts';
import { addUniform, convolve, type DurationMass, emptyMass, isEmpty } from './mass.ts';
import { residualArrival, residualMass, residualTime } from './residual.ts';
import { dayZeroMin, toWork, workScale } from './scale.ts';

/** From the top to the road. */
export interface WayDown {
  trailhead: Arrival;
  boarding: Boarding;
}

function stepsOf(time: Lognormal | undefined, stepMin: number): DurationMass {
  const steps = newDuration();
  if (time) discretise(lognormalCentralMoments(time), stepMin, steps);
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
): WorkAxis {
  const scale = workScale(c.wayOut.clock, dayZeroMin(c.input));
  const first = Math.floor(toWork(scale, fromMin) / stepMin) - 2;
  const last = Math.ceil(toWork(scale, toMin) / stepMin) + more + 8;
  return { scale, grid: { stepMin, first, count: last - first } };
}

/** The way down for a party that isn't up yet. */
export function wayDownFrom(c: Compiled, top: MassOnAxis): WayDown {
  const { descent, walk } = c.wayOut;
  const stepMin = stepFor(top.grid.stepMin, descent, walk);
  const descentSteps = stepsOf(descent, stepMin);
  const walkSteps = stepsOf(walk, stepMin);
  const more = descentSteps.first + descentSteps.count + walkSteps.first + walkSteps.count;
  const { mass, low, high } = top.spread;
  const edgeMin = (i: number): number => momentAt(top, i - 0.5);
  const line = lineDown(c, stepMin, edgeMin(low), edgeMin(high), more);
  const up = emptyMass(line.grid);
  for (let i = low; i < high; i++) {
    const chance = mass[i] as number;
    if (chance === 0) continue;
    addUniform(up, placeAt(line, edgeMin(i)), placeAt(line, edgeMin(i + 1)), chance);
  }
  const spread = emptyMass(line.grid);
  convolve(up, descentSteps, spread);
  const road = { ...line, spread };
  return { trailhead: arrivalOn(road), boarding: leaving(c, road, walkSteps) };
}

/** Width of a bin when there is nothing left to climb, minutes. */
const STEP_LEAST_MIN = 2;
/** No descent is followed beyond this standard score: 3 in 100,000 take longer. */
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
  const stepMin = stepFor(Math.max(STEP_LEAST_MIN, residualTime(begun, WIDE_SD) / BINS), walk);
  const walkSteps = stepsOf(walk, stepMin);
  const longest = Math.ceil(residualTime(begun, LONGEST_SD) / stepMin);
  const more = longest + walkSteps.first + walkSteps.count;
  const line = lineDown(c, stepMin, fromMin, fromMin, more);
  const spread = residualMass(line.grid, placeAt(line, fromMin), begun);
  return {
    trailhead: residualArrival(clock, fromMin, begun),
    boarding: leaving(c, { ...line, spread }, walkSteps),
  };
}

function leaving(c: Compiled, road: MassOnAxis, walkSteps: DurationMass): Boarding {
  const walks = c.wayOut.walk !== undefined && !isEmpty(road.spread);
  return boardingOf(c.wayOut, road, walks ? walkSteps : undefined);
}
