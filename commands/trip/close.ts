import { eraseDay, erasesAtMs } from '../../src/alarm/keeping.ts';
import { modeWords } from '../../src/alarm/words/mode.ts';
import { overButton, troubleLines } from '../../src/alarm/words/trouble.ts';
import type { App } from '../../src/app/app.ts';
import { type Call, sub } from '../../src/app/command.ts';
import { change } from '../../src/record/change.ts';
import { closeUnreadable, mustEnd } from '../../src/record/end-unreadable.ts';
import { asUnreadable, unreadableLines } from '../../src/record/unreadable.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import type { TripState } from '../../src/trip/state.ts';

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
  counts: 'vital',
  managers: true,
  options,
  run: (call, args, app) =>
    closeReadable(app, call, args.sure === true).catch(async (error: unknown) => {
      const unreadable = asUnreadable(error);
      await mustEnd(app, call, unreadable);
      if (args.sure === true) return closeUnreadable(app, call, unreadable);
      throw new Refusal(
        'watch-would-end',
        [...unreadableLines(unreadable), 'Closing it frees this channel for another trip.'],
        [CLOSE],
      );
    }),
});

const CLOSE = {
  label: 'Close all the same',
  tone: 'danger',
  press: { path: 'trip close', options: { sure: true } },
} as const;

function closeReadable(app: App, call: Call, sure: boolean): Promise<Reply> {
  return change(app, call, {
    ...(sure ? { weakens: 'confirmed' as const } : {}),
    decide({ state }) {
      if (openTroubles(state).length > 0) {
        throw new Refusal(
          'trouble-open',
          [
            'Trouble stands on this trip, so it is not closed:',
            ...openTroubles(state).flatMap((t) => troubleLines(state, t, call.atMs)),
          ],
          openTroubles(state)
            .slice(-1)
            .map((trouble) => overButton(trouble)),
        );
      }
      const up = state.departedAtMs !== undefined && state.downAtMs === undefined;
      if (up && !sure) {
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
            CLOSE,
          ],
        );
      }
      return [{ kind: 'trip.closed', data: {} }];
    },
    answer: ({ after }) => ({
      lines: [
        `${after.name} is closed. Its record can still be read here: /log show, /log export.`,
        ...erasing(after, app),
        ['To erase it at once, with all personal data: ', { code: '/trip purge' }],
      ],
    }),
  });
}

/** When the record erases itself, where nobody is out by it. */
function erasing(after: TripState, app: App): string[] {
  const atMs = erasesAtMs(after, app.keepDays);
  if (atMs === undefined)
    return ['It stays until somebody erases it, because nobody has said that everyone is down.'];
  return [`It erases itself on ${eraseDay(after, atMs)}; the channel is told some days before.`];
}
