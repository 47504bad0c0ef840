import { phaseNow, reached } from '../../src/alarm/ladder.ts';
import { FIELD } from '../../src/alarm/who.ts';
import { nextLines } from '../../src/alarm/words/news.ts';
import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { nameOf } from '../../src/trip/state.ts';

export interface ResolveInput {
  how: string;
  words?: string | undefined;
}

/** `They are fine` is a sign of life, now; `Call-out made` stops the reminders and tells everyone. */
export function resolve(app: App, call: Call, input: ResolveInput): Promise<Reply> {
  return input.how === 'called' ? calledOut(app, call, input) : theyAreFine(app, call, input);
}

function theyAreFine(app: App, call: Call, input: ResolveInput): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (state.downAtMs !== undefined)
        throw new Refusal('Everyone is down already; nothing stands.');
      const words = input.words === undefined ? {} : { words: input.words };
      return [{ kind: 'watch.ok', data: { how: 'reached', ...words } }];
    },
    answer({ before, after, events }) {
      const told = [...reached(before).keys()].map((g) =>
        g === FIELD ? 'the channel' : nameOf(before, g),
      );
      return {
        lines: [
          told.length === 0
            ? 'Noted: they are fine.'
            : `Noted: they are fine. Told now: ${told.join(', ')}.`,
          ...(phaseNow(before) === undefined ? [] : ['If anybody was called out, tell them too.']),
          ...nextLines(after, call.atMs),
        ],
        buttons: [undoButton(events[0]?.seq ?? 0)],
      };
    },
  });
}

function calledOut(app: App, call: Call, input: ResolveInput): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (phaseNow(state) === undefined) {
        throw new Refusal([
          'No alarm stands here.',
          "If you have called the rescue service all the same, tell the party's channel in your own words.",
        ]);
      }
      const data = input.words === undefined ? {} : { words: input.words };
      return [{ kind: 'watch.called', data }];
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
