import { watched } from '../../src/alarm/expectations.ts';
import { nextLines } from '../../src/alarm/words/news.ts';
import { type Call, type Options, sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { troubleStands } from '../../src/app/trouble-asked.ts';
import { toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';
import { stanceWords } from '../../src/trip/kinds/retreat.ts';
import { toppedOutMs } from '../../src/trip/mode.ts';
import type { TripState } from '../../src/trip/state.ts';

const options = {
  at: toldAtOption,
  pitch: {
    type: 'integer',
    description: 'From the stance after which pitch; after the last one done when left out',
    min: 0,
    max: LIMITS.pitches,
  },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'retreat begin': typeof options;
  }
}

/** The party comes down from where it is. A sign of life; nothing that is watched changes by it. */
export const begin = sub({
  description: 'You are coming down from here',
  access: 'act',
  options,
  run: (call, args, app) =>
    change(app, call, {
      decide({ state }) {
        mustBeOnTheWall(state, call);
        const pitch = args.pitch ?? state.pitches.filter((p) => p.done !== undefined).length;
        return [{ kind: 'retreat.began', data: { pitch }, ...toldTime(state, call, args.at) }];
      },
      answer({ after, events }) {
        const retreat = after.retreats.at(-1);
        const seq = events[0]?.seq ?? 0;
        const since = dayClock(after.zone, retreat?.sinceMs ?? call.atMs, call.atMs);
        const stands = troubleStands(after, call.atMs);
        return {
          lines: [
            `Coming down from ${stanceWords(retreat?.fromPitch ?? 0)} since ${since}.`,
            ['After each rappel: ', { code: '/retreat rappel' }],
            [
              'Everyone down: ',
              { code: '/trip down' },
              '. Climbing on again: ',
              { code: '/retreat stop' },
            ],
            ...stands.lines,
            ...(watched(after) ? nextLines(after, call.atMs) : []),
          ],
          buttons: [...stands.buttons, RAPPEL_DONE, undoButton(seq), changeTimeButton(seq)],
        };
      },
    }),
});

export const RAPPEL_DONE = {
  label: 'Rappel done',
  tone: 'main',
  press: { path: 'retreat rappel', options: {} },
} as const;

function mustBeOnTheWall(state: TripState, call: Call): void {
  if (state.downAtMs !== undefined) {
    throw new Refusal('retreating', [
      `Everyone was down at ${dayClock(state.zone, state.downAtMs, call.atMs)}, so nobody retreats.`,
      [
        'If they are not down: ',
        { code: '/log show' },
        ' has its number for ',
        { code: '/pitch strike' },
      ],
    ]);
  }
  if (toppedOutMs(state) === undefined) return;
  throw new Refusal('retreating', [
    'You have topped out, so this is the way down, not a retreat.',
    ['When you leave the top: ', { code: '/trip down reached:"left the top"' }],
  ]);
}
