import { modeWords } from '../../src/alarm/words/mode.ts';
import { OVER, troubleLines } from '../../src/alarm/words/trouble.ts';
import { sub } from '../../src/app/command.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { openTroubles } from '../../src/trip/conditions.ts';

const options = { sure: { type: 'boolean', description: 'Asked before', hidden: true } } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip close': typeof options;
  }
}

/** Ends the trip in its channel. A party that may still be up there is not closed by one press. */
export const close = sub({
  description: 'End the trip in this channel; its record stays',
  access: 'act',
  counts: 'never',
  options,
  run: (call, { sure }, app) =>
    change(app, call, {
      decide({ state }) {
        if (openTroubles(state).length > 0) {
          throw new Refusal(
            'trouble-open',
            [
              'Trouble stands on this trip, so it is not closed:',
              ...openTroubles(state).flatMap((t) => troubleLines(state, t, call.atMs)),
            ],
            [OVER],
          );
        }
        const up = state.departedAtMs !== undefined && state.downAtMs === undefined;
        if (up && sure !== true) {
          throw new Refusal(
            'watch-would-end',
            [
              `${modeWords(state, call.atMs)} Nobody has said that everyone is down.`,
              'Closing stops the watch: nobody would be told if they are overdue.',
            ],
            [
              {
                label: 'Everyone is down',
                tone: 'main',
                press: { path: 'trip down', options: { sure: true } },
              },
              {
                label: 'Close all the same',
                tone: 'danger',
                press: { path: 'trip close', options: { sure: true } },
              },
            ],
          );
        }
        return [{ kind: 'trip.closed', data: {} }];
      },
      answer: ({ after }) => ({
        lines: [
          `${after.name} is closed. Its record can still be read here: /log show, /log export.`,
          ['To erase it with all personal data: ', { code: '/trip purge' }],
        ],
      }),
    }),
});
