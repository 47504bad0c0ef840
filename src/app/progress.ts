import { quickForecast } from '../forecast/forecast.ts';
import { forecastInput } from '../forecast/input.ts';
import type { TripState } from '../trip/state.ts';
import type { App } from './app.ts';
import { lateWords } from './forecast/standing.ts';
import type { Line } from './reply.ts';
import { spanWords } from './words/forecast.ts';
import { nextWords } from './words/lead.ts';

/** What a post means for the rest of the day, in one line: ahead or behind, top-out, who is next. */
export async function progressLines(app: App, state: TripState, nowMs: number): Promise<Line[]> {
  const next = nextWords(state);
  const forecast = forecastLine(app, state, nowMs);
  const line = [forecast, next].filter(Boolean).join(' ');
  return line === '' ? [] : [line];
}

/** The quick form: the same ascents and figures as /topout, without what one line doesn't show. */
function forecastLine(app: App, state: TripState, nowMs: number): string {
  if (state.phase !== 'climbing') return '';
  try {
    const quick = quickForecast(forecastInput(state, nowMs));
    const late = lateWords(state, quick.next?.done.q50, nowMs);
    return `${late}Top-out ${spanWords(state, quick.topout, nowMs)}.`;
  } catch (error) {
    // A post must never fail because its forecast does.
    app.log.error({ err: error }, 'quick forecast failed');
    return '';
  }
}
