import { type QuickForecast, startForecast, startQuick } from './forecast.ts';
import { type LatestTime, startLatestTimes } from './latest.ts';
import type { Forecast, ForecastInput } from './model.ts';
import type { Run } from './sliced.ts';

/** What can be asked of an input, and what comes of it. */
export interface Made {
  whole: Forecast;
  quick: QuickForecast;
  latest: LatestTime[][];
}

/** One question to the model: plain data, so that it can be answered elsewhere. */
export type ForecastJob<K extends keyof Made = keyof Made> = {
  asked: K;
  input: ForecastInput;
} & (K extends 'latest' ? { confidences: readonly number[] } : unknown);

const STARTS: { [K in keyof Made]: (job: ForecastJob<K>) => Run<Made[K]> } = {
  whole: ({ input }) => startForecast(input),
  quick: ({ input }) => startQuick(input),
  latest: ({ input, confidences }) => startLatestTimes(input, confidences),
};

/** Begins to answer. The same question gives the same answer to the last bit, wherever it is asked. */
export function startJob<K extends keyof Made>(job: ForecastJob<K>): Run<Made[K]> {
  return STARTS[job.asked](job);
}
