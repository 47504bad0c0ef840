import { troubleLines } from '../../src/alarm/words/trouble.ts';
import { sub } from '../../src/app/command.ts';
import { howOption, noteOption, toldAtOption } from '../../src/app/options.ts';
import { toldTime } from '../../src/app/when.ts';
import { change } from '../../src/record/change.ts';
import { conditionOption, wantsOption } from './options.ts';
import { howOf, toldLines, troubleMeant } from './told.ts';

const options = {
  words: { ...noteOption('What is new'), required: true },
  condition: { ...conditionOption, description: 'How they are now' },
  where: noteOption('Where they are now'),
  wants: wantsOption,
  at: toldAtOption,
  how: howOption,
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trouble update': typeof options;
  }
}

/** What is new of the trouble. It stands until it is said to be over. */
export const update = sub({
  description: 'What is new of the trouble; it stands until it is over',
  access: 'act',
  options,
  run: (call, { words, condition, where, wants, at, how }, app) =>
    change(app, call, {
      decide({ state }) {
        const told = toldTime(state, call, at);
        const data = {
          trouble: troubleMeant(state).id,
          words,
          how: howOf(state, call, how),
          ...(condition === undefined ? {} : { condition }),
          ...(where === undefined ? {} : { where }),
          ...(wants === undefined ? {} : { wants }),
        };
        return [{ kind: 'trouble.updated', ...told, data }];
      },
      answer: ({ after }) => ({
        lines: [
          'Noted. The trouble stands:',
          ...troubleLines(after, troubleMeant(after), call.atMs),
          ...toldLines(after, call.atMs),
        ],
      }),
    }),
});
