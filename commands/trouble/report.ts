import { emergency } from '../../src/alarm/words/common.ts';
import { type Args, sub } from '../../src/app/command.ts';
import { howOption, noteOption, toldAtOption } from '../../src/app/options.ts';
import { toldTime } from '../../src/app/when.ts';
import { climberMeant, suggestClimbers } from '../../src/app/who.ts';
import { change } from '../../src/record/change.ts';
import type { Button } from '../../src/say/reply.ts';
import type { DataOf } from '../../src/trip/fact.ts';
import { whoWords } from '../../src/trip/kinds/trouble.ts';
import type { TripState } from '../../src/trip/state.ts';
import { conditionOption, wantsOption } from './options.ts';
import { howOf, toldLines } from './told.ts';

const options = {
  what: { ...noteOption('What has happened, in their words'), required: true },
  who: {
    type: 'string',
    description: 'Who is in trouble: Ines, or "Ines, Mara"; left out, it is not known who',
    maxLength: 200,
    suggest: suggestClimbers,
  },
  condition: conditionOption,
  where: noteOption('Where they are'),
  needs: noteOption('What is needed'),
  wants: wantsOption,
  at: toldAtOption,
  how: howOption,
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trouble report': typeof options;
  }
}

const CALL_OUT: Button = {
  label: 'Call-out wanted',
  tone: 'danger',
  press: { path: 'trouble update', options: { wants: 'callout', words: 'a call-out is wanted' } },
};
const MORE: Button = {
  label: 'Tell more',
  press: { path: 'trouble update', options: {} },
  ask: {
    title: 'Tell more',
    fields: [
      { name: 'words', label: 'What is new?', placeholder: 'Splinted, lowering to pitch 4' },
    ],
  },
};

/**
 * Trouble, told by one post. Contacts and crew are told at once; what is wanted decides whether it is
 * a call-out. Left out, it is: nobody in trouble should have to look for the right word.
 */
export const report = sub({
  description: 'Somebody is hurt, missing or stuck: everybody is told at once',
  access: 'act',
  counts: 'vital',
  options,
  run: (call, args, app) =>
    change(app, call, {
      decide({ state }) {
        const told = toldTime(state, call, args.at);
        return [
          {
            kind: 'trouble.reported',
            ...told,
            data: { ...dataOf(state, args), how: howOf(state, call, args.how) },
          },
        ];
      },
      answer({ after }) {
        const trouble = after.troubles.at(-1);
        const callout = trouble?.calloutMs !== undefined;
        return {
          lines: [
            `Trouble noted: ${whoWords(after, trouble?.who ?? [])}: “${trouble?.what}”.`,
            callout
              ? `A call-out is wanted. If you can, call ${emergency(after)} yourselves as well.`
              : 'You cope, and want it known.',
            ...toldLines(after, call.atMs),
            ['When it is over: ', { code: '/trouble over said:' }],
          ],
          buttons: [...(callout ? [] : [CALL_OUT]), MORE],
        };
      },
    }),
});

function dataOf(
  state: TripState,
  args: Args<typeof options>,
): Omit<DataOf<'trouble.reported'>, 'how'> {
  const names = (args.who ?? '').split(',').map((name) => name.trim());
  const who = names.flatMap((name) => (name === '' ? [] : [climberMeant(state, name).id]));
  return {
    who: [...new Set(who)],
    condition: args.condition ?? 'hurt',
    what: args.what,
    wants: args.wants ?? 'callout',
    ...(args.where === undefined ? {} : { where: args.where }),
    ...(args.needs === undefined ? {} : { needs: args.needs }),
  };
}
