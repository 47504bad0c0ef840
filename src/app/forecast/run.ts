import { startForecast } from '../../forecast/forecast.ts';
import { forecastInput } from '../../forecast/input.ts';
import { type LatestTime, startLatestTimes } from '../../forecast/latest.ts';
import type { Forecast, ForecastInput } from '../../forecast/model.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';

/** Ascents between two turns of the event loop: some milliseconds, so that no answer waits long. */
const SLICE = 400;
const KEPT = 100;

/** Forecasts of each running bot by newest entry and minute: the same question twice costs nothing. */
const keptBy = new WeakMap<App, Map<string, Promise<Forecast>>>();

/** The forecast of a trip at a moment; undefined without a topo. Gives others their turn between slices. */
export async function forecastOf(
  app: App,
  state: TripState,
  nowMs: number,
): Promise<Forecast | undefined> {
  if (state.pitches.length === 0) return undefined;
  const input = forecastInput(state, nowMs);
  // By the entry's id, not its number: a post that loses a race was thought about under that number.
  const key = `${state.entries.at(-1)?.event.id} ${input.nowMs}`;
  const kept = keptBy.get(app) ?? new Map<string, Promise<Forecast>>();
  keptBy.set(app, kept);
  const known = kept.get(key);
  if (known !== undefined) return known;
  const made = runForecast(app, input);
  kept.set(key, made);
  for (const old of kept.keys()) {
    if (kept.size <= KEPT) break;
    kept.delete(old);
  }
  // A failed one isn't kept: the next asker tries anew and gets the error itself.
  made.catch(() => kept.delete(key));
  return made;
}

/** A forecast that isn't kept: of a plan that is only being thought about. */
export function runForecast(app: App, input: ForecastInput): Promise<Forecast> {
  return inSlices(app, startForecast(input));
}

export function runLatest(app: App, input: ForecastInput): Promise<LatestTime[]> {
  return inSlices(app, startLatestTimes(input));
}

interface Sliced<T> {
  step(ascents: number): boolean;
  result(): T;
}

async function inSlices<T>(app: App, run: Sliced<T>): Promise<T> {
  while (!run.step(SLICE)) await app.clock.sleep(0);
  return run.result();
}
