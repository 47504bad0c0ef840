import type { Projected, Projection } from '../../alarm/late.ts';
import type { Quantiles } from '../../forecast/model.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { forecastBeside } from '../forecast/run.ts';
import { isBranched } from '../words/topout.ts';

/** What the forecast says of the times the watch asks about early; nothing without a topo. */
export async function projectTimes(
  app: App,
  state: TripState,
  nowMs: number,
): Promise<Projected | undefined> {
  const forecast = await forecastBeside(app, state, nowMs);
  if (forecast === undefined) return undefined;
  const isOpen = isBranched(forecast);
  return {
    topout: projection(forecast.topout, isOpen),
    down: projection(forecast.trailhead, isOpen),
  };
}

function projection({ q50, q90 }: Quantiles, isOpen: boolean): Projection {
  return { middleMs: q50, cautiousMs: q90, ...(isOpen ? { isOpen } : {}) };
}
