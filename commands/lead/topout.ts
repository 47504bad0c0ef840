import type { App } from '../../src/app/app.ts';
import { unlessCostly } from '../../src/app/forecast/costly.ts';
import { runQuick } from '../../src/app/forecast/run.ts';
import { bounds, boundWords, leading } from '../../src/app/words/forecast.ts';
import { topoutWords } from '../../src/app/words/topout.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import { duration } from '../../src/time/format.ts';
import type { TripState } from '../../src/trip/state.ts';

/** `Top-out 18:42 (cautious 20:20). That is 8 min earlier than before.` */
export async function topoutLines(
  app: App,
  before: TripState,
  after: TripState,
  nowMs: number,
): Promise<string[]> {
  if (after.pitches.every((p) => p.done !== undefined)) return [];
  if (before.pitches.length === 0) return [];
  const is = await unlessCostly(runQuick(app, forecastInput(after, nowMs)));
  const was = await unlessCostly(runQuick(app, forecastInput(before, nowMs)));
  if (is === undefined || was === undefined) return [];
  const moved = movedWords(was.topout.q50, is.topout.q50);
  const named = leading(bounds(after, is)).map((b) => boundWords(after, b, b.binds, nowMs));
  return [[topoutWords(after, is, nowMs), moved, ...named].join(' ')];
}

function movedWords(wasMs: number, isMs: number): string {
  const same = 'That is as before.';
  if (!Number.isFinite(wasMs - isMs)) return wasMs === isMs ? same : 'Before it was not so.';
  const min = Math.round((isMs - wasMs) / 60_000);
  return min === 0
    ? same
    : `That is ${duration(min)} ${min < 0 ? 'earlier' : 'later'} than before.`;
}
