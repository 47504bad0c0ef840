import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { undoButtons } from '../../src/app/words/post.ts';
import { change, type Draft, refusalOf, toEvents } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import type { Button, Line, Reply } from '../../src/say/reply.ts';
import { admit } from '../../src/trip/admit.ts';
import type { TripState } from '../../src/trip/state.ts';
import { topoutLines } from './topout.ts';

export interface Preview {
  /** True once the asker has seen what it does and pressed. */
  sure: boolean;
  /** Carries it out: the same command, with `sure`. */
  button: Button;
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
      buttons: undoButtons(events),
    }),
  });
}

async function show(app: App, call: Call, preview: Preview): Promise<Reply> {
  const { row, history, state } = await look(app, call, 'act');
  const drafts = preview.decide(state);
  const events = toEvents(app, call, row.id, state.seq, drafts);
  const admitted = admit(row.id, history, events, call.atMs);
  if (!admitted.ok) throw refusalOf(admitted.no);
  return {
    lines: [
      ...preview.lines(state, admitted.value),
      ...(await topoutLines(app, state, admitted.value, call.atMs)),
      'Nothing is changed yet.',
    ],
    buttons: [{ ...preview.button, tone: 'main' }],
    private: true,
    trip: row.id,
  };
}
