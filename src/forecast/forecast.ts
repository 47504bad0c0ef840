import { type Compiled, compile } from './compile.ts';
import { type HangingJob, hangingJobs } from './hanging.ts';
import type { Forecast, ForecastInput, Quantiles } from './model.ts';
import { newSimulation, type Outcomes, runSlice, type Simulation } from './simulate.ts';
import {
  cutoffsOf,
  exposedOf,
  nightsOf,
  paceOf,
  quantiles,
  shuttleOf,
  summarise,
  unfinishedOf,
} from './summary.ts';

/**
 * A forecast computed in slices, so that whoever runs it can let others have their turn between
 * them: call `step` until it is true, then `result`.
 */
export interface ForecastRun {
  /** Runs up to that many ascents more; true when all are done. 500 stay well under 50 ms. */
  step(ascents: number): boolean;
  /** @throws Error before `step` has returned true */
  result(): Forecast;
}

/** How a forecast is run; for checks, not for everyday use. */
export interface RunOptions {
  /** False draws each ascent by chance alone, without spreading them evenly. */
  evenly?: boolean;
}

/**
 * Begins a forecast.
 *
 * @throws RangeError for an input without pitches, days or ascents, or a setting out of range
 */
export function startForecast(input: ForecastInput, options: RunOptions = {}): ForecastRun {
  const compiled = compile(input, options.evenly ?? true);
  const jobs: readonly HangingJob[] = hangingJobs(compiled);
  const sim = begin(compiled, jobs);
  return {
    step: (ascents) => runSlice(sim, ascents),
    result: () => {
      if (sim.next < sim.outcomes.count) throw new Error('forecast not finished');
      return summarise(compiled, sim.outcomes, jobs);
    },
  };
}

function begin(compiled: Compiled, jobs: readonly HangingJob[]): Simulation {
  const { ascents } = compiled.input;
  if (!(Number.isInteger(ascents) && ascents > 0)) throw new RangeError('no ascents');
  return newSimulation(compiled, ascents, jobs);
}

/** The whole forecast at once. The same input gives the same answer to the millisecond. */
export function forecast(input: ForecastInput, options: RunOptions = {}): Forecast {
  const run = startForecast(input, options);
  run.step(input.ascents);
  return run.result();
}

/** What one line needs: the same ascents and the same figures as the whole forecast. */
export interface QuickForecast
  extends Pick<
    Forecast,
    | 'topout'
    | 'trailhead'
    | 'cutoffs'
    | 'shuttle'
    | 'nights'
    | 'exposedNight'
    | 'pace'
    | 'unfinished'
  > {
  /** The next pitch to be done, and when. */
  next?: { pitch: number; done: Quantiles };
}

/** The one line's forecast, computed in slices like the whole one. */
export interface QuickRun {
  step(ascents: number): boolean;
  /** @throws Error before `step` has returned true */
  result(): QuickForecast;
}

/**
 * The forecast for the one line in the answer to a post: without hanging times and checkpoints. It
 * runs the same ascents, so the line and `/topout` at the same moment agree.
 */
export function startQuick(input: ForecastInput): QuickRun {
  const compiled = compile(input);
  const sim = begin(compiled, []);
  return {
    step: (ascents) => runSlice(sim, ascents),
    result: () => {
      if (sim.next < sim.outcomes.count) throw new Error('forecast not finished');
      return quickOf(compiled, sim.outcomes);
    },
  };
}

/** The one line's forecast at once. */
export function quickForecast(input: ForecastInput): QuickForecast {
  const run = startQuick(input);
  run.step(input.ascents);
  return run.result();
}

function quickOf(compiled: Compiled, outcomes: Outcomes): QuickForecast {
  const [first] = outcomes.done;
  const pitch = compiled.input.pitches[compiled.legs[compiled.state.leg]?.last ?? -1];
  const shuttle = shuttleOf(compiled, outcomes);
  return {
    topout: quantiles(compiled, outcomes.topout),
    trailhead: quantiles(compiled, outcomes.trailhead),
    cutoffs: cutoffsOf(compiled, outcomes),
    ...(shuttle ? { shuttle } : {}),
    nights: nightsOf(outcomes),
    exposedNight: exposedOf(outcomes),
    ...(first && pitch ? { next: { pitch: pitch.number, done: quantiles(compiled, first) } } : {}),
    pace: paceOf(compiled),
    unfinished: unfinishedOf(outcomes),
  };
}
