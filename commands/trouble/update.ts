import { troubleLines } from '../../src/alarm/words/trouble.ts';
import { sub } from '../../src/app/command.ts';
import { howOption, noteOption, toldAtOption } from '../../src/app/options.ts';
import { namedIds } from '../../src/app/parts.ts';
import { toldTime } from '../../src/app/when.ts';
import { suggestClimbers } from '../../src/app/who.ts';
import { change } from '../../src/record/change.ts';
import type { Line } from '../../src/say/reply.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import type { Fact } from '../../src/trip/fact.ts';
import type { Trouble } from '../../src/trip/kinds/trouble.ts';
import { nameOf, type TripState } from '../../src/trip/state.ts';
import { conditionOption, wantsOption } from './options.ts';
import { howOf, mustBeOne, toldLines, troubleMeant } from './told.ts';

const options = {
  words: { ...noteOption('What is new'), required: true },
  who: {
    type: 'string',
    description: 'Of whom; the trouble told last when left out',
    maxLength: 200,
    suggest: suggestClimbers,
  },
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
  counts: 'vital',
  options,
  run: (call, { words, who, condition, where, wants, at, how }, app) =>
    change(app, call, {
      decide({ state }) {
        const told = toldTime(state, call, at);
        const ids = who === undefined ? undefined : namedIds(state, who);
        const known = openTroubles(state).some((t) => t.who.some((id) => ids?.includes(id)));
        if (!known) {
          const same = words.length <= 40 ? { words } : { words: words.slice(0, 39) };
          mustBeOne(state, call.atMs, ({ who: [first] }, label) => ({
            label,
            press: {
              path: 'trouble update',
              options: { ...same, ...(first === undefined ? {} : { who: nameOf(state, first) }) },
            },
          }));
        }
        const trouble = troubleMeant(state, ids);
        const more = ids?.some((id) => !trouble.who.includes(id));
        const data = {
          trouble: trouble.id,
          ...(ids !== undefined && more === true ? { who: ids } : {}),
          words,
          how: howOf(state, call, how),
          ...(condition === undefined ? {} : { condition }),
          ...(where === undefined ? {} : { where }),
          ...(wants === undefined ? {} : { wants }),
        };
        return [{ kind: 'trouble.updated', ...told, data }];
      },
      answer: ({ after, events }) => ({
        lines: [
          'Noted. The trouble stands:',
          ...troubleLines(after, updated(after, events), call.atMs),
          ...stillWanted(updated(after, events), wants),
          ...toldLines(after, call.atMs),
        ],
      }),
    }),
});

/** A call-out that was asked for is taken back by its end alone. */
function stillWanted({ calloutMs }: Trouble, wants: string | undefined): Line[] {
  if (wants !== 'cope' || calloutMs === undefined) return [];
  return [
    [
      'The call-out stays wanted: what was asked for ends only with the trouble. ',
      { code: '/trouble over said:' },
    ],
  ];
}

function updated(state: TripState, events: readonly Fact[]): Trouble {
  const [made] = events;
  const id = made?.kind === 'trouble.updated' ? made.data.trouble : undefined;
  return state.troubles.find((t) => t.id === id) ?? troubleMeant(state);
}
