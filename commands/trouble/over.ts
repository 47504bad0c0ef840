import { reached } from '../../src/alarm/ladder.ts';
import { nextOpen, whoIn } from '../../src/alarm/words/home.ts';
import { overButton } from '../../src/alarm/words/trouble.ts';
import { type Options, sub } from '../../src/app/command.ts';
import { noteOption } from '../../src/app/options.ts';
import { faced, wordsToward } from '../../src/app/toward.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import type { Button } from '../../src/say/reply.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import type { Trouble } from '../../src/trip/kinds/trouble.ts';
import { mustBeOne, troubleMeant } from './told.ts';

const options = {
  said: {
    ...noteOption('Who says so, and how they know'),
    required: true,
    minLength: 3,
  },
  left: {
    type: 'string',
    description: 'Where those in trouble are now: still up there unless you say otherwise',
    choices: [
      { name: 'well, and still up there', value: 'well' },
      { name: 'off the wall, in somebody’s care', value: 'out' },
    ],
  },
  trouble: { type: 'integer', description: 'Which trouble', hidden: true },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trouble over': typeof options;
  }
}

/** Ends a trouble by somebody's word, with how they know. Nothing else ends it. */
export const over = sub({
  description: 'The trouble is over: who says so, and how they know',
  access: 'act',
  counts: 'vital',
  managers: true,
  options,
  run: (call, { said, left = 'well', trouble }, app) =>
    change(app, call, {
      decide({ state }) {
        if (trouble === undefined)
          mustBeOne(state, call.atMs, (one, label) => overThis(one, label, said, left));
        const { id } = troubleMeant(state, [], trouble);
        return [{ kind: 'trouble.over', data: { trouble: id, said, left } }];
      },
      answer({ before, after, events }) {
        const ended = troubleMeant(before, [], trouble);
        const more = openTroubles(after).length;
        const wasTold = reached(before).size > 0;
        const w = wordsToward(after, call);
        return {
          lines: [
            w.say('done.over', { who: whoIn(w, after, ended.who), left, said }),
            ...(wasTold ? [w.say('done.overTold')] : []),
            ...(after.watch.called.length > 0 ? [w.say('done.overCall')] : []),
            ...(more === 0
              ? nextOpen({ w, state: after, nowMs: call.atMs })
              : [w.say('done.overMore', { n: more })]),
          ],
          buttons: [faced(w, undoButton(events[0]?.seq ?? 0))],
        };
      },
    }),
});

/** The same of this trouble; words that a button can't carry are asked for anew. */
function overThis(trouble: Trouble, label: string, said: string, left: 'well' | 'out'): Button {
  if (said.length > 40) return { ...overButton(trouble), label };
  return { label, press: { path: 'trouble over', options: { trouble: trouble.seq, said, left } } };
}
