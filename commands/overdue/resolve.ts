import { phaseNow, reached } from '../../src/alarm/ladder.ts';
import { nextLines } from '../../src/alarm/words/news.ts';
import type { App } from '../../src/app/app.ts';
import { type Call, type Options, sub } from '../../src/app/command.ts';
import { noteOption } from '../../src/app/options.ts';
import { type PartArgs, partOptions, spokenIn } from '../../src/app/parts.ts';
import { mustMeanWell, troubleStands } from '../../src/app/trouble-asked.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import { toldName } from './words.ts';

const options = {
  how: {
    type: 'string',
    description: 'Which of the two',
    required: true,
    choices: [
      { name: 'they are fine', value: 'fine' },
      { name: 'call-out made', value: 'called' },
    ],
  },
  words: noteOption('How you know, or what the rescue service said'),
  ...partOptions,
  /** They mean well, though a word sounded like trouble. */
  sure: { type: 'boolean', description: 'Asked before', hidden: true },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'overdue resolve': typeof options;
  }
}

/** `They are fine` is a sign of life, now; `Call-out made` stops the reminders and tells everyone. */
export const resolve = sub({
  description: 'They are fine, or the rescue service has been called',
  access: 'act',
  counts: 'never',
  options,
  run: (call, { how, words, sure = false, ...part }, app) =>
    how === 'called' ? calledOut(app, call, words) : theyAreFine(app, call, { words, sure, part }),
});

function theyAreFine(
  app: App,
  call: Call,
  { words, sure, part }: { words: string | undefined; sure: boolean; part: PartArgs },
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (state.downAtMs !== undefined)
        throw new Refusal('no-alarm', 'Everyone is down already; nothing stands.');
      mustMeanWell(words, sure, {
        label: 'All are well',
        press: { path: 'overdue resolve', options: { how: 'fine', sure: true } },
      });
      const { who, drafts } = spokenIn(state, call, part, call.atMs, (label, of) => ({
        label,
        press: { path: 'overdue resolve', options: { how: 'fine', sure: true, ...of } },
      }));
      const data = {
        how: 'reached' as const,
        ...(words === undefined ? {} : { words }),
        ...(who === undefined ? {} : { who }),
      };
      return [...drafts, { kind: 'watch.ok', data }];
    },
    answer({ before, after, events }) {
      const told = [...reached(before).keys()].map((g) => toldName(before, g));
      return {
        lines: [
          told.length === 0
            ? 'Noted: they are fine.'
            : `Noted: they are fine. Told now: ${told.join(', ')}.`,
          ...(phaseNow(before) === undefined || openTroubles(after).length > 0
            ? []
            : ['If anybody was called out, tell them too.']),
          ...troubleStands(after, call.atMs).lines,
          ...nextLines(after, call.atMs),
        ],
        buttons: [...troubleStands(after, call.atMs).buttons, undoButton(events.at(-1)?.seq ?? 0)],
      };
    },
  });
}

function calledOut(app: App, call: Call, words: string | undefined): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (phaseNow(state) === undefined) {
        throw new Refusal('no-alarm', [
          'No alarm stands here.',
          "If you have called the rescue service all the same, tell the party's channel in your own words.",
        ]);
      }
      return [{ kind: 'watch.called', data: words === undefined ? {} : { words } }];
    },
    answer: () => ({
      lines: [
        'Noted: the call-out is made. Everyone who was told hears it, and reminders stop.',
        [
          'Keep your phone free; the rescue service may ring back. The sheet: ',
          { code: '/overdue sheet' },
        ],
        'If you hear from the party, tell the rescue service first, then here.',
      ],
    }),
  });
}
