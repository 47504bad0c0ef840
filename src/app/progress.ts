import type { QuickForecast } from '../forecast/forecast.ts';
import type { Line } from '../say/reply.ts';
import { isOver, isPastTop, isUnderWay, modeOf } from '../trip/mode.ts';
import type { TripState } from '../trip/state.ts';
import { frontTopMs } from '../trip/two-ropes.ts';
import type { App } from './app.ts';
import { unlessCostly } from './forecast/costly.ts';
import { forecastOf } from './forecast/run.ts';
import { lateWords } from './forecast/standing.ts';
import { bounds, boundWords, leading, nightWords, present, spanWords } from './words/forecast.ts';
import { lastRopeWords, nextWords } from './words/lead.ts';
import { topoutWords } from './words/topout.ts';

/**
 * What a post means for the rest of the day, in one line: ahead or behind, top-out, who is next. A
 * second one only where something is at risk.
 */
export async function progressLines(app: App, state: TripState, nowMs: number): Promise<Line[]> {
  const { line, risk } = await forecastLines(app, state, nowMs);
  const retreats = modeOf(state, nowMs).is === 'retreating';
  // On top of the rope in front, who is still to come is said already.
  const last = frontTopMs(state) === undefined ? lastRopeWords(state, nowMs) : undefined;
  const first = present(retreats ? [line] : [line, last, nextWords(state)]).filter(
    (words) => words !== '',
  );
  return [first.join(' '), ...(risk === undefined ? [] : [risk])].filter((said) => said !== '');
}

/** Whether it is still to be decided if, or where, a night is spent; a night that is sure is no news. */
function isOpen({ nights, exposedNight }: QuickForecast): boolean {
  return (nights[0] ?? 1) >= 0.05 || exposedNight >= 0.05;
}

interface ForecastLines {
  line?: string;
  risk?: string;
}

/** The same forecast as in /topout, on the board and on the page: it is made once for all of them. */
async function quickOf(app: App, state: TripState, nowMs: number): Promise<QuickForecast> {
  const whole = await forecastOf(app, state, nowMs);
  if (whole === undefined) throw new Error('no topo');
  const next = whole.checkpoints.find((c) => c.actual === undefined);
  return {
    ...whole,
    ...(next === undefined ? {} : { next: { pitch: next.pitch, done: next.done } }),
  };
}

/** The same figures as /topout, without what these lines don't show. */
async function forecastLines(app: App, state: TripState, nowMs: number): Promise<ForecastLines> {
  if (isOver(state) || !isUnderWay(state)) return {};
  if (state.pitches.length === 0 || modeOf(state, nowMs).is === 'retreating') return {};
  try {
    const quick = await unlessCostly(quickOf(app, state, nowMs));
    if (quick === undefined) return {};
    if (isPastTop(state)) {
      return { line: `On top. Trailhead ${spanWords(state, quick.trailhead, nowMs)}.` };
    }
    const late = lateWords(state, quick.next?.done.q50, nowMs);
    const atRisk = leading(bounds(state, quick)).filter((b) => b.chance < state.confidence);
    const risk = present([
      ...atRisk.map((b) => boundWords(state, b, b.binds, nowMs)),
      isOpen(quick) ? nightWords(state, quick, nowMs) : undefined,
    ]);
    return {
      line: `${late}${topoutWords(state, quick, nowMs)}`,
      ...(risk.length === 0 ? {} : { risk: risk.join(' ') }),
    };
  } catch (error) {
    // A post must never fail because its forecast does.
    app.log.error({ err: error }, 'quick forecast failed');
    return {};
  }
}
