import { EARLY_MS, isAbout, unmet, watched } from '../../src/alarm/expectations.ts';
import { phaseNow } from '../../src/alarm/ladder.ts';
import { planSeq } from '../../src/alarm/weaker.ts';
import { at, expected } from '../../src/alarm/words/common.ts';
import { type Home, nextOpen, when } from '../../src/alarm/words/home.ts';
import { nextLines } from '../../src/alarm/words/news.ts';
import { standDownButtons, standDownLines } from '../../src/alarm/words/stand-down.ts';
import { type Args, type Call, sub } from '../../src/app/command.ts';
import { howOption, noteOption, toldAtOption } from '../../src/app/options.ts';
import { namedIds, partNames, partOptions, type Spoken, spokenIn } from '../../src/app/parts.ts';
import { faced, isAtHome, wordsToward } from '../../src/app/toward.ts';
import { mustMeanWell, troubleStands } from '../../src/app/trouble-asked.ts';
import { exactTime, type Told, toldTime } from '../../src/app/when.ts';
import { toldWords, undoButton, undoButtons } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { personOf } from '../../src/record/membership.ts';
import type { Button, Line, Reply } from '../../src/say/reply.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import type { Fact } from '../../src/trip/fact.ts';
import { isSplit, partsOf } from '../../src/trip/parts.ts';
import type { TripState } from '../../src/trip/state.ts';

const options = {
  at: toldAtOption,
  words: noteOption('What they said'),
  place: noteOption('Where they were'),
  how: howOption,
  ...partOptions,
  together: { type: 'boolean', description: 'Those named, or all, are together again' },
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
  counts: 'vital',
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
        const { who, drafts } = spoken(state, call, args, told.atMs);
        return [
          ...drafts,
          {
            kind: 'watch.ok',
            atMs: told.atMs,
            data: {
              how: args.how ?? (climber ? 'self' : 'radio'),
              ...(args.words === undefined ? {} : { words: args.words }),
              ...(args.place === undefined ? {} : { place: args.place }),
              ...(who === undefined ? {} : { who }),
            },
            ...(told.typed === undefined ? {} : { typed: told.typed }),
          },
        ];
      },
      answer({ before, after, events }) {
        const event = events.at(-1);
        const w = wordsToward(after, call);
        if (w.language !== 'en' || isAtHome(after, call))
          return toContact({ w, state: after, nowMs: call.atMs }, before, event);
        if (event === undefined) return { lines: [SAID_ALREADY, ...nextLines(after, call.atMs)] };
        return {
          lines: [
            [
              `${whose(after, event)} at `,
              at(after, event.atMs, call.atMs),
              `${toldWords(after, event)}.`,
            ],
            ...partLines(after),
            ...(told?.note === undefined ? [] : [told.note]),
            ...alarmLines(before, after, call.atMs),
            ...troubleStands(after, call.atMs).lines,
            ...(watched(after) ? nextLines(after, call.atMs) : [NOT_DEPARTED]),
            ...late(after, call.atMs),
          ],
          buttons: [
            ...troubleStands(after, call.atMs).buttons,
            ...undoButtons(events),
            ...togetherButton(after, event),
            ...moveButtons(after, call.atMs),
          ],
        };
      },
    });
  },
});

/** The answer to a contact: what is noted, what it ended, what is still to do. */
function toContact(h: Home, before: TripState, event: Fact | undefined): Reply {
  const { w, state, nowMs } = h;
  const trouble = troubleStands(state, nowMs, w);
  const over = phaseNow(before) !== undefined && phaseNow(state) === undefined;
  return {
    lines: [
      event === undefined
        ? w.say('done.heardAlready')
        : w.say('done.heard', { when: when(h, event.atMs) }),
      ...(over ? [w.say('ended.over'), ...standDownLines(state, nowMs, w)] : []),
      ...trouble.lines,
      ...(watched(state) ? nextOpen(h) : []),
    ],
    buttons: [
      ...(over ? standDownButtons(state, w) : []),
      ...trouble.buttons,
      ...(event === undefined ? [] : [faced(w, undoButton(event.seq))]),
    ],
  };
}

/** A full record takes the same word from the same person once in ten minutes. */
const SAID_ALREADY = 'That word stands in the record already, from the last ten minutes.';

/** Of whom it is, and what it says of who is with whom. */
function spoken(state: TripState, call: Call, args: Args<typeof options>, atMs: number): Spoken {
  if (args.together === true) {
    const all = args.who === undefined;
    const who = all ? undefined : namedIds(state, args.who as string);
    const joined = { kind: 'party.joined' as const, data: { who: who ?? [] }, atMs };
    return { ...(who === undefined ? {} : { who }), drafts: [joined] };
  }
  return spokenIn(state, call, args, atMs, (label, of) => {
    const { press } = wellButton(args, atMs);
    const { who: _who, ...rest } = press.options as Record<string, string | boolean>;
    return { label, press: { path: 'checkin ok', options: { ...rest, ...of } } };
  });
}

/** `Well`, or `Jonas well` in a party in parts. */
function whose(state: TripState, { data }: Fact): string {
  const who = 'who' in data ? (data.who as readonly string[] | undefined) : undefined;
  // Nobody in trouble is called well.
  const inTrouble = openTroubles(state).some((t) => t.who.some((id) => who?.includes(id)));
  return who === undefined
    ? 'Well'
    : `${partNames(state, who)} ${inTrouble ? 'heard from' : 'well'}`;
}

/** Who is with whom, where the party is in parts. */
function partLines(state: TripState): string[] {
  if (!isSplit(state)) return [];
  return [
    `In parts: ${partsOf(state)
      .map((p) => partNames(state, p.who))
      .join(' · ')}.`,
  ];
}

/** Those named are in several parts: they may have met. */
function togetherButton(state: TripState, { data }: Fact): Button[] {
  const who = 'who' in data ? (data.who as readonly string[] | undefined) : undefined;
  const parts = partsOf(state).filter((p) => p.who.some((id) => who?.includes(id)));
  if (who === undefined || parts.length < 2) return [];
  const press = { path: 'checkin ok', options: { who: who.join(','), together: true } } as const;
  return [{ label: 'They are together again', press }];
}

/** The same once more, with its words where a button can carry them. */
function wellButton({ how, words, at, who }: Args<typeof options>, atMs: number): Button {
  const carried = words !== undefined && words.length <= 40;
  return {
    label: 'All are well',
    press: {
      path: 'checkin ok',
      options: {
        sure: true,
        ...(at === undefined ? {} : { at: exactTime(atMs) }),
        ...(how === undefined ? {} : { how }),
        ...(who === undefined ? {} : { who }),
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
  const missing = unmet(after).find((e) => isAbout(still, e))?.of;
  if (missing !== undefined) return [`The alarm stands for ${missing}: nothing was heard of them.`];
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
  const [next, ...others] = unmet(state);
  if (next?.kind !== 'again') return [];
  const kept = others.find((e) => e.kind !== 'again' && e.kind !== 'silence');
  return [
    [
      agreedEver(state)
        ? 'An agreed time has passed. Agree a new one; without it you are asked for '
        : 'No time is agreed: /checkin plan. Until then you are asked for ',
      expected(next),
      at(state, next.dueMs, nowMs),
      ...(kept === undefined
        ? []
        : ['. Still to be kept: ', expected(kept), at(state, kept.dueMs, nowMs)]),
      '.',
    ],
  ];
}

/** Whether any time was ever agreed with home. */
function agreedEver({ watch }: TripState): boolean {
  const { topoutMs, downMs, calloutMs } = watch.plan;
  const agreed = [topoutMs, downMs, calloutMs].some((ms) => ms !== undefined);
  return agreed || watch.nightly !== undefined || watch.promises.length > 0;
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
      press: { path: 'checkin plan', options: { plan: planSeq(state) } },
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
