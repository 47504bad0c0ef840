import { type Options, sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { partOptions, spokenIn } from '../../src/app/parts.ts';
import { progressLines } from '../../src/app/progress.ts';
import { early, exactTime, toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButtons } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';
import { retreatOf } from '../../src/trip/kinds/retreat.ts';

const options = { at: toldAtOption, ...partOptions } as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'retreat stop': typeof options;
  }
}

/** The party climbs on after all. */
export const stop = sub({
  description: 'Climbing on after all',
  access: 'post',
  options,
  run: (call, { at, ...args }, app) =>
    change(app, call, {
      decide({ state }) {
        const told = toldTime(state, call, at);
        const { who, drafts } = spokenIn(state, call, args, told.atMs, (label, of) => ({
          label,
          press: { path: 'retreat stop', options: { at: exactTime(told.atMs), ...of } },
        }));
        const open = retreatOf(state, who);
        if (open !== undefined && told.atMs < open.sinceMs) {
          throw new Refusal(
            'retreating',
            early(state, 'The retreat began', open.sinceMs, "it can't have stopped", told.atMs),
          );
        }
        const data = who === undefined ? {} : { who };
        return [...drafts, { kind: 'retreat.stopped', data, ...told }];
      },
      async answer({ after, events }) {
        const seq = events.at(-1)?.seq ?? 0;
        const when = dayClock(after.zone, events.at(-1)?.atMs ?? call.atMs, call.atMs);
        return {
          lines: [
            `Climbing on since ${when}; no retreat any more.`,
            ...(await progressLines(app, after, call.atMs)),
          ],
          buttons: [...undoButtons(events), changeTimeButton(seq)],
        };
      },
    }),
});
