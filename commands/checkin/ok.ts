import { EARLY_MS, unmet, watched } from '../../src/alarm/expectations.ts';
import { phaseNow } from '../../src/alarm/ladder.ts';
import { at, expected } from '../../src/alarm/words/common.ts';
import { nextLines } from '../../src/alarm/words/news.ts';
import { type Args, sub } from '../../src/app/command.ts';
import { howOption, noteOption, toldAtOption } from '../../src/app/options.ts';
import { mustMeanWell, troubleStands } from '../../src/app/trouble-asked.ts';
import { exactTime, type Told, toldTime } from '../../src/app/when.ts';
import { toldWords, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { personOf } from '../../src/record/membership.ts';
import type { Button, Line } from '../../src/say/reply.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import type { TripState } from '../../src/trip/state.ts';

const options = {
  at: toldAtOption,
  words: noteOption('What they said'),
  place: noteOption('Where they were'),
  how: howOption,
  /** They mean well, though a word sounded like trouble. */
  sure: { type: 'boolean', description: 'Asked before', hidden: true },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'checkin ok': typeof options;
  }
}

/** A sign of life: by the party itself, or as the ground crew or a contact heard it. */
export const ok = sub({
  description: 'They are well: said by the party, or as it was heard by radio',
  access: 'act',
  options,
  run(call, args, app) {
    let told: Told | undefined;
    return change(app, call, {
      decide({ state }) {
        told = toldTime(state, call, args.at);
        mustMeanWell(
          `${args.words ?? ''} ${args.place ?? ''}`,
          args.sure === true,
          wellButton(args, told.atMs),
        );
        const climber = personOf(state, call.actor.id)?.roles.includes('climber') === true;
        return [
          {
            kind: 'watch.ok',
            atMs: told.atMs,
            data: {
              how: args.how ?? (climber ? 'self' : 'radio'),
              ...(args.words === undefined ? {} : { words: args.words }),
              ...(args.place === undefined ? {} : { place: args.place }),
            },
            ...(told.typed === undefined ? {} : { typed: told.typed }),
          },
        ];
      },
      answer({ before, after, events }) {
        const event = events[0];
        if (event === undefined) return { lines: ['Nothing to note.'] };
        return {
          lines: [
            ['Well at ', at(after, event.atMs, call.atMs), `${toldWords(after, event)}.`],
            ...(told?.note === undefined ? [] : [told.note]),
            ...alarmLines(before, after, call.atMs),
            ...troubleStands(after, call.atMs).lines,
            ...(watched(after) ? nextLines(after, call.atMs) : [NOT_DEPARTED]),
            ...late(after, call.atMs),
          ],
          buttons: [
            ...troubleStands(after, call.atMs).buttons,
            undoButton(event.seq),
            ...moveButtons(after, call.atMs),
          ],
        };
      },
    });
  },
});

/** The same once more, with its words where a button can carry them. */
function wellButton({ how, words, at }: Args<typeof options>, atMs: number): Button {
  const carried = words !== undefined && words.length <= 40;
  return {
    label: 'All are well',
    press: {
      path: 'checkin ok',
      options: {
        sure: true,
        ...(at === undefined ? {} : { at: exactTime(atMs) }),
        ...(how === undefined ? {} : { how }),
        ...(carried ? { words } : {}),
      },
    },
  };
}

/** Whether the word ended an alarm that stood. */
function alarmLines(before: TripState, after: TripState, nowMs: number): Line[] {
  const was = phaseNow(before);
  const still = phaseNow(after);
  if (openTroubles(after).length > 0) return [];
  if (still === undefined) {
    return was === undefined ? [] : ['The alarm is over; everyone who was told hears it.'];
  }
  return [
    [
      'The alarm stands all the same: that was before ',
      at(after, still.dueMs - EARLY_MS, nowMs),
      '. A newer word ends it.',
    ],
  ];
}

const NOT_DEPARTED = 'Not departed, so nobody is watching the clock: /trip depart';

/** A word after an agreed time moves nothing by itself. */
function late(state: TripState, nowMs: number): Line[] {
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

function moveButtons(state: TripState, nowMs: number): Button[] {
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
