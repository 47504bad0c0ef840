import { phaseNow, reached } from '../../src/alarm/ladder.ts';
import { standDownOf } from '../../src/alarm/stand-down.ts';
import { FIELD } from '../../src/alarm/who.ts';
import { sheetButton } from '../../src/alarm/words/common.ts';
import { nextOpen } from '../../src/alarm/words/home.ts';
import { standDownButtons, standDownLines } from '../../src/alarm/words/stand-down.ts';
import type { App } from '../../src/app/app.ts';
import { mustStand } from '../../src/app/bound.ts';
import { type Args, type Call, type Options, sub } from '../../src/app/command.ts';
import { noteOption } from '../../src/app/options.ts';
import { partOptions, spokenIn } from '../../src/app/parts.ts';
import { faced, wordsToward } from '../../src/app/toward.ts';
import { mustMeanWell, troubleStands } from '../../src/app/trouble-asked.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { personOf } from '../../src/record/membership.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import type { TripState } from '../../src/trip/state.ts';
import { toldName } from './words.ts';

const options = {
  how: {
    type: 'string',
    description: 'Which of them',
    required: true,
    choices: [
      { name: 'they are fine', value: 'fine' },
      { name: 'call-out made', value: 'called' },
      { name: 'the rescue service knows', value: 'stood-down' },
    ],
  },
  words: noteOption('How you know, or what the rescue service said'),
  ...partOptions,
  /** The entry that the button belongs to. */
  alarm: { type: 'integer', description: 'Which alarm', hidden: true },
  /** They mean well, though a word sounded like trouble. */
  sure: { type: 'boolean', description: 'Asked before', hidden: true },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'overdue resolve': typeof options;
  }
}

/**
 * `They are fine` is a sign of life, now; `I have called the rescue service` stops the reminders and tells everyone; once
 * the party was heard from, the rescue service has to know that as well.
 */
export const resolve = sub({
  description: 'They are fine; the rescue service was called, or knows they are',
  access: 'act',
  counts: 'vital',
  options,
  run(call, args, app) {
    if (args.how === 'called') return calledOut(app, call, args);
    return args.how === 'fine' ? theyAreFine(app, call, args) : stoodDown(app, call, args);
  },
});

type Told = Args<typeof options>;

function theyAreFine(
  app: App,
  call: Call,
  { words, sure = false, alarm, who: of, apart }: Told,
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      mustStand(state, alarm, groupOf(state, call), call.atMs);
      const bound = alarm === undefined ? {} : { alarm };
      if (state.downAtMs !== undefined)
        throw new Refusal('no-alarm', 'Everyone is down already; nothing stands.');
      mustMeanWell(words, sure, {
        label: 'All are well',
        press: {
          path: 'overdue resolve',
          options: { how: 'fine', sure: true, ...bound },
        },
      });
      const { who, drafts } = spokenIn(
        state,
        call,
        { who: of, apart },
        call.atMs,
        (label, again) => ({
          label,
          press: {
            path: 'overdue resolve',
            options: { how: 'fine', sure: true, ...bound, ...again },
          },
        }),
      );
      const data = {
        how: 'reached' as const,
        ...(words === undefined ? {} : { words }),
        ...(who === undefined ? {} : { who }),
      };
      return [...drafts, { kind: 'watch.ok', data }];
    },
    answer({ before, after, events }) {
      const w = wordsToward(after, call);
      const h = { w, state: after, nowMs: call.atMs };
      const told = [...reached(before).keys()].map((g) => toldName(before, g, w));
      return {
        lines: [
          told.length === 0 ? w.say('done.fine') : w.say('done.fineTo', { names: told.join(', ') }),
          ...(phaseNow(before) === undefined || openTroubles(after).length > 0
            ? []
            : standDownLines(after, call.atMs, w)),
          ...troubleStands(after, call.atMs, w).lines,
          ...nextOpen(h),
        ],
        buttons: [
          ...standDownButtons(after, w),
          ...troubleStands(after, call.atMs, w).buttons,
          faced(w, undoButton(events.at(-1)?.seq ?? 0)),
        ],
      };
    },
  });
}

function calledOut(app: App, call: Call, { words, alarm }: Told): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      mustStand(state, alarm, groupOf(state, call), call.atMs);
      if (phaseNow(state) === undefined) {
        throw new Refusal('no-alarm', [
          'No alarm stands here.',
          "If you have called the rescue service all the same, tell the party's channel in your own words.",
        ]);
      }
      return [{ kind: 'watch.called', data: words === undefined ? {} : { words } }];
    },
    answer({ after }) {
      const w = wordsToward(after, call);
      return {
        lines: [w.say('done.called'), w.say('done.calledPhone'), w.say('done.calledTell')],
        buttons: [sheetButton(w)],
      };
    },
  });
}

/** The one who says it has told the rescue service; asking stops, and everyone hears it. */
function stoodDown(app: App, call: Call, { words, alarm }: Told): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const stands = standDownOf(state);
      if (stands === undefined || (alarm !== undefined && alarm !== stands.call.seq)) {
        throw new Refusal('no-alarm', [
          'No call-out waits to be taken back; nothing is changed.',
          'While nothing is heard of the party, the call-out stands.',
        ]);
      }
      return [
        {
          kind: 'watch.stooddown',
          data: { call: stands.call.seq, ...(words === undefined ? {} : { words }) },
        },
      ];
    },
    answer: ({ after }) => ({ lines: [wordsToward(after, call).say('done.stoodDown')] }),
  });
}

/** How an alarm tells whoever is speaking: a contact by themselves, the others in the channel. */
function groupOf(state: TripState, call: Call): string {
  const person = personOf(state, call.actor.id);
  return person?.roles.includes('contact') === true ? person.id : FIELD;
}
