import { type Compiled, compile } from './compile.ts';
import { hangingJobs } from './hanging.ts';
import type { Forecast, ForecastInput, Quantiles } from './model.ts';
import type { Outcomes } from './outcomes.ts';
import { newSimulation, runSlice } from './simulate.ts';
import { atOnce, type Run, sliced } from './sliced.ts';
import { type Brief, briefly, quantiles, summarise } from './summary.ts';

/** A forecast computed in slices. */
export type ForecastRun = Run<Forecast>;
/** The one line's forecast, computed in slices like the whole one. */
export type QuickRun = Run<QuickForecast>;

/** What one line needs: the same figures as the whole forecast. */
export interface QuickForecast extends Brief {
  /** The next pitch to be done, and when. */
  next?: { pitch: number; done: Quantiles };
  /** Where they go on to in the dark, and when that pitch is done. */
  darkTo?: { pitch: number; done: Quantiles };
}

/**
 * Begins a forecast.
 *
 * @throws RangeError for an input without pitches, days or ascents, or a setting out of range
 */
export function startForecast(input: ForecastInput): ForecastRun {
  const compiled = compileWith(input);
  const jobs = hangingJobs(compiled);
  const sim = newSimulation(compiled, jobs);
  return sliced(
    (ascents) => runSlice(sim, ascents),
    () => summarise(compiled, sim.outcomes, jobs),
  );
}

/**
 * The forecast for the one line in the answer to a post: no checkpoints, and nobody's hanging time. It
 * draws the same ascents, so the line and `/topout` at the same moment agree.
 */
export function startQuick(input: ForecastInput): QuickRun {
  const compiled = compileWith(input);
  const sim = newSimulation(compiled, []);
  return sliced(
    (ascents) => runSlice(sim, ascents),
    () => quickOf(compiled, sim.outcomes),
  );
}

function compileWith(input: ForecastInput): Compiled {
  const { ascents } = input;
  if (!(Number.isInteger(ascents) && ascents > 0)) throw new RangeError('no ascents');
  return compile(input);
}

/** The whole forecast at once. The same input gives the same answer to the millisecond. */
export function forecast(input: ForecastInput): Forecast {
  return atOnce(startForecast(input));
}

/** The one line's forecast at once. */
export function quickForecast(input: ForecastInput): QuickForecast {
  return atOnce(startQuick(input));
}

function* quickOf(c: Compiled, o: Outcomes): Generator<void, QuickForecast> {
  const brief = briefly(c, o);
  yield;
  const next = pitchAhead(c, o, (number) => number > 0);
  const darkTo = pitchAhead(c, o, (number) => number === c.input.darkTo);
  return { ...brief, ...(next ? { next } : {}), ...(darkTo ? { darkTo } : {}) };
}

/** The first lead not done whose last pitch is meant, and when that is done. */
function pitchAhead(c: Compiled, o: Outcomes, isMeant: (number: number) => boolean) {
  const ahead = c.legs.slice(c.state.leg).map((leg) => c.input.pitches[leg.last]?.number ?? 0);
  const at = ahead.findIndex(isMeant);
  const [pitch, column] = [ahead[at], o.done[at]];
  return pitch === undefined || column === undefined
    ? undefined
    : { pitch, done: quantiles(c, o, column) };
}
