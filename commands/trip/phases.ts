import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { toldWords, warnings, watchWords } from '../../src/app/watch/warnings.ts';
import { toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { missingWords, phaseWords } from '../../src/app/words/trip.ts';
import { change, refusalOf } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import type { No } from '../../src/trip/rules/no.ts';
import type { TripState } from '../../src/trip/state.ts';

/** The party has left; from here on silence counts. */
export function depart(app: App, call: Call, at: string | undefined): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (state.departedAtMs !== undefined)
        throw already(state.departedAtMs, 'Departed', state, call);
      const told = toldTime(state, call, at);
      return [{ kind: 'trip.departed', data: {}, ...told }];
    },
    answer({ after, events }) {
      const missing = missingWords(after);
      const seq = events[0]?.seq ?? 0;
      return {
        lines: [
          `Departed at ${dayClock(after.zone, after.departedAtMs ?? call.atMs, call.atMs)}.`,
          ...(missing.length === 0 ? [] : [`Warning: still missing ${missing.join(', ')}.`]),
          ...warnings(after, app.withoutMail).map((w) => `Warning: ${w}`),
          ...watchWords(after, call.atMs),
        ],
        buttons: [undoButton(seq), changeTimeButton(seq)],
      };
    },
    refuse: (found, { state }) => departNo(found, state, call),
  });
}

/** Pitches were told before anybody thought of departing: then the party left with the first of them. */
function departNo(found: No, state: TripState, call: Call): Refusal {
  if (found.rule !== 'depart-after-pitch') return refusalOf(found);
  const marks = state.pitches.flatMap((p) => [p.started, p.fixed, p.done]);
  const firstMs = Math.min(...marks.flatMap((m) => (m === undefined ? [] : [m.atMs])));
  return new Refusal(
    [
      `Pitches were told from ${dayClock(state.zone, firstMs, call.atMs)} on, so you left before.`,
      'Say when: /trip depart at:',
    ],
    [
      {
        label: `Departed ${dayClock(state.zone, firstMs, call.atMs)}`,
        press: { path: 'trip depart', options: { at: new Date(firstMs).toISOString() } },
      },
    ],
  );
}

/** Everyone is down: nothing falls due any more. */
export function down(app: App, call: Call, at: string | undefined): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (state.downAtMs !== undefined)
        throw already(state.downAtMs, 'Everyone was down', state, call);
      const told = toldTime(state, call, at);
      return [{ kind: 'trip.down', data: {}, ...told }];
    },
    answer({ after, events }) {
      const seq = events[0]?.seq ?? 0;
      return {
        lines: [
          `Everyone down at ${dayClock(after.zone, after.downAtMs ?? call.atMs, call.atMs)}.`,
          ...toldWords(after),
          [
            'The record stays: ',
            { code: '/log export' },
            '. To end the trip here: ',
            { code: '/trip close' },
          ],
        ],
        buttons: [undoButton(seq), changeTimeButton(seq)],
      };
    },
  });
}

function already(atMs: number, words: string, state: { zone: string }, call: Call): Refusal {
  return new Refusal([
    `${words} at ${dayClock(state.zone, atMs, call.atMs)} already; nothing to change.`,
    'If that time is wrong, /log show gives its number for /pitch amend.',
  ]);
}

/** Ends the trip in its channel. A party that may still be up there is not closed by one press. */
export function close(app: App, call: Call, sure: boolean): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const up = state.departedAtMs !== undefined && state.downAtMs === undefined;
      if (up && !sure) {
        throw new Refusal(
          [
            `${phaseWords(state, call.atMs)} Nobody has said that everyone is down.`,
            'Closing stops the watch: nobody would be told if they are overdue.',
          ],
          [
            { label: 'Everyone is down', tone: 'main', press: { path: 'trip down', options: {} } },
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
  });
}
