import { type Options, sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { progressLines } from '../../src/app/progress.ts';
import { early, toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';
import { openRetreat } from '../../src/trip/kinds/retreat.ts';

const options = { at: toldAtOption } as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'retreat stop': typeof options;
  }
}

/** The party climbs on after all. */
export const stop = sub({
  description: 'Climbing on after all',
  access: 'act',
  options,
  run: (call, { at }, app) =>
    change(app, call, {
      decide({ state }) {
        const told = toldTime(state, call, at);
        const open = openRetreat(state);
        if (open !== undefined && told.atMs < open.sinceMs) {
          throw new Refusal(
            'retreating',
            early(state, 'The retreat began', open.sinceMs, "it can't have stopped", told.atMs),
          );
        }
        return [{ kind: 'retreat.stopped', data: {}, ...told }];
      },
      async answer({ after, events }) {
        const seq = events[0]?.seq ?? 0;
        const when = dayClock(after.zone, events[0]?.atMs ?? call.atMs, call.atMs);
        return {
          lines: [
            `Climbing on since ${when}; no retreat any more.`,
            ...(await progressLines(app, after, call.atMs)),
          ],
          buttons: [undoButton(seq), changeTimeButton(seq)],
        };
      },
    }),
});
