import { EARLY_MS, unmet, watched } from '../../src/alarm/expectations.ts';
import { phaseNow } from '../../src/alarm/ladder.ts';
import { at, expected } from '../../src/alarm/words/common.ts';
import { nextLines } from '../../src/alarm/words/news.ts';
import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { type Told, toldTime } from '../../src/app/when.ts';
import { toldWords, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { personOf } from '../../src/record/membership.ts';
import type { Button, Line, Reply } from '../../src/say/reply.ts';

export interface OkInput {
  at?: string | undefined;
  words?: string | undefined;
  place?: string | undefined;
  how?: string | undefined;
}

/** A sign of life: by the party itself, or as the ground crew or a contact heard it. */
export function checkinOk(app: App, call: Call, input: OkInput): Promise<Reply> {
  let told: Told | undefined;
  return change(app, call, {
    decide({ state }) {
      told = toldTime(state, call, input.at);
      const climber = personOf(state, call.actor.id)?.roles.includes('climber') === true;
      return [
        {
          kind: 'watch.ok',
          atMs: told.atMs,
          data: {
            how: input.how ?? (climber ? 'self' : 'radio'),
            ...(input.words === undefined ? {} : { words: input.words }),
            ...(input.place === undefined ? {} : { place: input.place }),
          },
          ...(told.typed === undefined ? {} : { typed: told.typed }),
        },
      ];
    },
    answer({ before, after, events }) {
      const event = events[0];
      if (event === undefined) return { lines: ['Nothing to note.'] };
      const was = phaseNow(before);
      const still = phaseNow(after);
      const over: Line[] =
        was !== undefined && still === undefined
          ? ['The alarm is over; everyone who was told hears it.']
          : still === undefined
            ? []
            : [
                [
                  'The alarm stands all the same: that was before ',
                  at(after, still.dueMs - EARLY_MS, call.atMs),
                  '. A newer word ends it.',
                ],
              ];
      return {
        lines: [
          ['Well at ', at(after, event.atMs, call.atMs), `${toldWords(after, event)}.`],
          ...(told?.note === undefined ? [] : [told.note]),
          ...over,
          ...(watched(after) ? nextLines(after, call.atMs) : [NOT_DEPARTED]),
          ...late(after, call.atMs),
        ],
        buttons: [undoButton(event.seq), ...moveButtons(after, call.atMs)],
      };
    },
  });
}

const NOT_DEPARTED = 'Not departed, so nobody is watching the clock: /trip depart';

/** A word after an agreed time moves nothing by itself. */
function late(state: Parameters<typeof unmet>[0], nowMs: number): Line[] {
  const [next] = unmet(state);
  if (next?.kind !== 'again') return [];
  return [
    [
      'The agreed times have passed. Agree new ones; without them ',
      expected(next),
      at(state, next.dueMs, nowMs),
      ' is all that is watched.',
    ],
  ];
}

function moveButtons(state: Parameters<typeof unmet>[0], nowMs: number): Button[] {
  const soon = unmet(state).find(
    (e) =>
      e.kind === 'again' ||
      ((e.kind === 'down' || e.kind === 'callout') && e.dueMs - nowMs < EARLY_MS),
  );
  if (soon === undefined) return [];
  const callout = soon.kind !== 'down';
  return [
    {
      label: callout ? 'Move the call-out time' : 'Move the time',
      press: { path: 'checkin plan', options: {} },
      ask: {
        title: 'A new time',
        fields: [
          {
            name: callout ? 'callout' : 'down',
            label: callout ? 'Call-out time' : 'Everyone down by',
            placeholder: '22:30, +2h, tomorrow 06:00',
          },
        ],
      },
    },
  ];
}
