import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { undoButtons } from '../../src/app/words/post.ts';
import { change, refusalOf } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import type { Button, Line, Reply } from '../../src/say/reply.ts';
import type { Draft } from '../../src/trip/fact.ts';
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
  const loaded = await look(app, call, 'act');
  const { row, state } = loaded;
  const drafts = preview.decide(state);
  const admitted = app.records.consider(loaded, drafts, call.actor, call.atMs);
  if (!admitted.ok) throw refusalOf(admitted.no);
  const after = admitted.value.after.state;
  return {
    lines: [
      ...preview.lines(state, after),
      ...(await topoutLines(app, state, after, call.atMs)),
      'Nothing is changed yet.',
    ],
    buttons: [{ ...preview.button, tone: 'main' }],
    private: true,
    trip: row.id,
  };
}
