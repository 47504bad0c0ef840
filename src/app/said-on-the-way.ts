import type { Forecast } from '../forecast/model.ts';
import type { Loaded } from '../record/records.ts';
import { fold } from '../trip/fold.ts';
import type { App } from './app.ts';
import { forecastBeside } from './forecast/run.ts';

/** What the forecast of the top-out was at a moment of the climb, from what was known then. */
export interface SaidThen {
  /** Pitches told done by then. */
  done: number;
  /** When it was asked: as the post arrived. */
  atMs: number;
  /** One in ten earlier, half, nine in ten; epoch milliseconds. */
  q10: number;
  q50: number;
  q90: number;
  /** Top-out by day, with its chance. */
  days: Forecast['days'];
}

/**
 * What would have been answered at the departure and after each quarter of the pitches. The record is
 * folded as it stood at that moment, so that late posts and later corrections play no part.
 */
export async function saidOnTheWay(
  app: Pick<App, 'clock' | 'forecasts'>,
  { row, history, state }: Loaded,
): Promise<SaidThen[]> {
  const told = state.pitches.flatMap((p) => p.done?.recordedAtMs ?? []).sort((a, b) => a - b);
  const quarters = [1, 2, 3].map((q) => told[Math.ceil((state.pitches.length * q) / 4) - 1]);
  const moments = [state.departedAtMs, ...quarters].filter((ms) => ms !== undefined);
  const said: SaidThen[] = [];
  for (const atMs of new Set(moments)) {
    const then = fold(
      row.id,
      history.filter((f) => f.recordedAtMs <= atMs),
    );
    const forecast = await forecastBeside(app, then, atMs);
    const done = then.pitches.filter((p) => p.done !== undefined).length;
    if (forecast === undefined || done === state.pitches.length) continue;
    const { q10, q50, q90 } = forecast.topout;
    const { days } = forecast;
    if ([q10, q50, q90].every(Number.isFinite)) said.push({ done, atMs, q10, q50, q90, days });
  }
  return said;
}
