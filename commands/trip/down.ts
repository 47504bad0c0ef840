import { sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { toldWords } from '../../src/app/watch/warnings.ts';
import { toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { dayClock } from '../../src/time/format.ts';
import { already } from './already.ts';

const options = { at: toldAtOption } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip down': typeof options;
  }
}

export const down = sub({
  description: 'Everyone is down: nothing falls due any more',
  access: 'act',
  options,
  run: (call, { at }, app) =>
    change(app, call, {
      decide({ state }) {
        if (state.downAtMs !== undefined)
          throw already(state.downAtMs, 'Everyone was down', state, call);
        const told = toldTime(state, call, at);
        return [{ kind: 'trip.down', data: {}, ...told }];
      },
      answer({ after, events }) {
        const seq = events[0]?.seq ?? 0;
        return {
          lines: [
            `Everyone down at ${dayClock(after.zone, after.downAtMs ?? call.atMs, call.atMs)}.`,
            ...toldWords(after),
            [
              'The record stays: ',
              { code: '/log export' },
              '. To end the trip here: ',
              { code: '/trip close' },
            ],
          ],
          buttons: [undoButton(seq), changeTimeButton(seq)],
        };
      },
    }),
});
