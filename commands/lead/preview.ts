import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { runQuick } from '../../src/app/forecast/run.ts';
import { bounds, boundWords, leading, spanWords } from '../../src/app/words/forecast.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import { change, type Draft, refusalOf, toEvents } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import type { Invocation, Line, Reply } from '../../src/say/reply.ts';
import { duration } from '../../src/time/format.ts';
import { admit } from '../../src/trip/admit.ts';
import type { TripState } from '../../src/trip/state.ts';

export interface Preview {
  /** True once the asker has seen what it does and pressed. */
  sure: boolean;
  /** What the press runs; `sure` is added. */
  press: Invocation;
  label: string;
  decide(state: TripState): readonly Draft[];
  /** What would change, or has. */
  lines(before: TripState, after: TripState): Line[];
}

/** A reassignment says what it does to the top-out before anything is recorded; a press records it. */
export async function previewed(app: App, call: Call, preview: Preview): Promise<Reply> {
  return preview.sure ? carryOut(app, call, preview) : show(app, call, preview);
}

function carryOut(app: App, call: Call, preview: Preview): Promise<Reply> {
  return change(app, call, {
    decide: ({ state }) => preview.decide(state),
    answer: async ({ before, after, events }) => ({
      lines: [
        ...preview.lines(before, after),
        ...(await topoutLines(app, before, after, call.atMs)),
      ],
      buttons: [undoButton(events[0]?.seq ?? 0)],
    }),
  });
}

async function show(app: App, call: Call, preview: Preview): Promise<Reply> {
  const { row, history, state } = await look(app, call, 'act');
  const drafts = preview.decide(state);
  const events = toEvents(app, call, row.id, state.seq, drafts);
  const admitted = admit(row.id, history, events, call.atMs);
  if (!admitted.ok) throw refusalOf(admitted.no);
  const { path, options } = preview.press;
  return {
    lines: [
      ...preview.lines(state, admitted.value),
      ...(await topoutLines(app, state, admitted.value, call.atMs)),
      'Nothing is changed yet.',
    ],
    buttons: [
      { label: preview.label, tone: 'main', press: { path, options: { ...options, sure: true } } },
    ],
    private: true,
    trip: row.id,
  };
}

/** `Top-out 18:42 (cautious 20:20), 8 min earlier.` */
export async function topoutLines(
  app: App,
  before: TripState,
  after: TripState,
  nowMs: number,
): Promise<string[]> {
  if (after.pitches.every((p) => p.done !== undefined)) return [];
  if (before.pitches.length === 0) return [];
  const is = await runQuick(app, forecastInput(after, nowMs));
  const was = await runQuick(app, forecastInput(before, nowMs));
  const moved = movedWords(was.topout.q50, is.topout.q50);
  const named = leading(bounds(after, is)).map((b) => boundWords(after, b, b.binds, nowMs));
  return [[`Top-out ${spanWords(after, is.topout, nowMs)}, ${moved}.`, ...named].join(' ')];
}

function movedWords(wasMs: number, isMs: number): string {
  if (!Number.isFinite(wasMs - isMs)) return wasMs === isMs ? 'as before' : 'and before not';
  const min = Math.round((isMs - wasMs) / 60_000);
  return min === 0 ? 'as before' : `${duration(min)} ${min < 0 ? 'earlier' : 'later'}`;
}
