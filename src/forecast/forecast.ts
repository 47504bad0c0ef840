import { type Arrivals, type ArrivalsRun, startArrivals } from './arrival/arrivals.ts';
import { type Compiled, compile } from './compile.ts';
import { hangingJobs } from './hanging.ts';
import type { Forecast, ForecastInput, Quantiles } from './model.ts';
import { newSimulation, runSlice } from './simulate.ts';
import { type Brief, briefly, quantiles, summarise } from './summary.ts';

/**
 * A forecast computed in slices, so that whoever runs it can let others have their turn between
 * them: call `step` until it is true, then `result`.
 */
export interface ForecastRun {
  /**
   * Goes on for about as long as so many ascents take; true when all is done. 500 take well under
   * 50 ms at everyday settings.
   */
  step(ascents: number): boolean;
  /** @throws Error before `step` has returned true */
  result(): Forecast;
}

/** One convolution of one pace takes about as long as so many ascents. */
const LEG_ASCENTS = 1.5;

/**
 * Begins a forecast: first the distributions of all times, then the ascents, from which the hanging
 * times are taken.
 *
 * @throws RangeError for an input without pitches, days or ascents, or a setting out of range
 */
export function startForecast(input: ForecastInput): ForecastRun {
  const compiled = compileWith(input);
  const jobs = hangingJobs(compiled);
  // Ascents are only needed for hanging times.
  const sim = newSimulation(compiled, jobs.length > 0 ? input.ascents : 0, jobs);
  const arrivals = sliced(startArrivals(compiled));
  let done = false;
  return {
    step: (ascents) => {
      done = arrivals.step(ascents) && runSlice(sim, ascents);
      return done;
    },
    result: () => {
      if (!done) throw new Error('forecast not finished');
      return summarise(compiled, arrivals.result(), sim.ascents, jobs);
    },
  };
}

function compileWith(input: ForecastInput): Compiled {
  const { ascents } = input;
  if (!(Number.isInteger(ascents) && ascents > 0)) throw new RangeError('no ascents');
  return compile(input);
}

/** Arrivals in slices that are measured in ascents. */
function sliced(run: ArrivalsRun): { step(ascents: number): boolean; result(): Arrivals } {
  let done = false;
  return {
    step: (ascents) => {
      for (let left = ascents; left > 0 && !done; left -= LEG_ASCENTS) done = run.step();
      return done;
    },
    result: () => {
      if (!done) throw new Error('forecast not finished');
      return run.result();
    },
  };
}

/** The whole forecast at once. The same input gives the same answer to the millisecond. */
export function forecast(input: ForecastInput): Forecast {
  const run = startForecast(input);
  while (!run.step(input.ascents));
  return run.result();
}

/** What one line needs: the same figures as the whole forecast. */
export interface QuickForecast extends Brief {
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
 * The forecast for the one line in the answer to a post: no checkpoints, and nobody's hanging time, so
 * no ascent is drawn for it. The line and `/topout` at the same moment agree.
 */
export function startQuick(input: ForecastInput): QuickRun {
  const compiled = compileWith(input);
  const { step, result } = sliced(startArrivals(compiled));
  return { step, result: () => quickOf(compiled, result()) };
}

/** The one line's forecast at once. */
export function quickForecast(input: ForecastInput): QuickForecast {
  const run = startQuick(input);
  while (!run.step(input.ascents));
  return run.result();
}

function quickOf(compiled: Compiled, arrivals: Arrivals): QuickForecast {
  const [first] = arrivals.done;
  const pitch = compiled.input.pitches[compiled.legs[compiled.state.leg]?.last ?? -1];
  return {
    ...briefly(compiled, arrivals),
    ...(first && pitch ? { next: { pitch: pitch.number, done: quantiles(compiled, first) } } : {}),
  };
}
