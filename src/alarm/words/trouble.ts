import { capital } from '../../say/capital.ts';
import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Message } from '../../say/message.ts';
import type { Button, Line } from '../../say/reply.ts';
import type { Trouble } from '../../trip/kinds/trouble.ts';
import type { TripState } from '../../trip/state.ts';
import type { Raised } from '../../trip/watch-state.ts';
import { sharing } from '../ladder.ts';
import { accountOf, FIELD, field } from '../who.ts';
import {
  ackButton,
  calledButton,
  emergency,
  lastHeard,
  nextPhaseAt,
  sheetButton,
} from './common.ts';
import { elsewhereLines, lastHeardIn, namesIn, numberIn, phonesIn, when, whoIn } from './home.ts';

/** Whom a trouble is told to, and when. */
export interface TroubleContext {
  w: Words;
  state: TripState;
  raised: Raised;
  trouble: Trouble;
  /** `FIELD`, or the id of the person who reads this. */
  to: string;
  nowMs: number;
}

/** How somebody in trouble is, as the catalogue has it. */
export const CONDITION = {
  hurt: 'trouble.hurt',
  unknown: 'trouble.unknown',
  well: 'trouble.well',
} as const;

/** Ends this trouble: a form asks who says so and how they know. */
export function overButton({ seq }: Pick<Trouble, 'seq'>, w: Words = ENGLISH): Button {
  const title = w.text('button.over');
  return {
    label: title,
    press: { path: 'trouble over', options: { trouble: seq } },
    ask: {
      title,
      fields: [
        {
          name: 'said',
          label: w.text('button.overAsk'),
          placeholder: w.text('button.overExample'),
        },
      ],
    },
  };
}

/** Who is in trouble, how, where, and what they need: as told, nothing guessed. */
export function troubleLines(
  state: TripState,
  trouble: Trouble,
  nowMs: number,
  w: Words = ENGLISH,
): Line[] {
  const h = { w, state, nowMs };
  const { who, what, where, needs, condition, by, how, updates } = trouble;
  return [
    w.say('trouble.told', {
      who: capital(whoIn(w, state, who)),
      condition: w.text(CONDITION[condition]),
      what,
      when: when(h, trouble.toldMs),
      by: by.name,
      how,
    }),
    ...(where === undefined ? [] : [w.say('trouble.where', { where })]),
    ...(needs === undefined ? [] : [w.say('trouble.needs', { needs })]),
    ...updates
      .slice(-3)
      .map((u) =>
        w.say('trouble.update', { words: u.words, when: when(h, u.atMs), by: u.by.name }),
      ),
  ];
}

/** To the channel or to one contact: trouble was reported, and what to do about it now. */
export function troubleMessage(c: TroubleContext): Message {
  const { w, state, raised, trouble, nowMs, to } = c;
  const called = raised.phase === 'distress';
  const pings = to === FIELD ? field(state).flatMap((p) => accountOf(state, p) ?? []) : undefined;
  return {
    subject: w.text(called ? 'trouble.subjectCall' : 'trouble.subject', { trip: state.name }),
    ...(pings === undefined ? {} : { pings }),
    buttons: [
      ackButton(raised.seq, w),
      ...(called ? [calledButton(raised.seq, w)] : []),
      sheetButton(w),
      overButton(trouble, w),
    ],
    lines: [
      first(c),
      ...troubleLines(state, trouble, nowMs, w),
      ...(called ? distressSteps(c) : copingSteps(c)),
      to === FIELD ? lastHeard(state, nowMs) : lastHeardIn(c),
      w.say('trouble.ends'),
      w.say('rescue.note'),
    ],
  };
}

function first({ w, state, raised, trouble, to }: TroubleContext): Line {
  const trip = state.name;
  if (raised.phase !== 'distress') {
    return to === FIELD
      ? `Trouble on ${trip}. They cope; you should know of it.`
      : w.say('trouble.copes', { trip });
  }
  const silent = trouble.calloutMs === undefined;
  if (to !== FIELD) {
    const why = silent ? 'silent' : 'wanted';
    return w.say('trouble.call', { number: numberIn(w, state), trip, why });
  }
  const why = silent ? 'nothing more was heard of the trouble' : 'a call-out is wanted';
  return `On ${trip} ${why}. Call ${emergency(state)} if nobody has, and say so here.`;
}

function distressSteps(c: TroubleContext): Line[] {
  const { w, state, raised, to } = c;
  const others = sharing(state, raised).filter((p) => p.id !== to);
  const told = others.length === 0 ? [] : [w.say('distress.others', { names: namesIn(w, others) })];
  return to === FIELD ? told : [...told, ...elsewhereLines(c), w.say('distress.sheet')];
}

function copingSteps(c: TroubleContext): Line[] {
  const { w, state, raised, to } = c;
  const phones = phonesIn(state, ['climber', 'ground']);
  const next = nextPhaseAt(state, raised.phase, to);
  return [
    ...(to === FIELD || phones === '' ? [] : [w.say('trouble.reach', { phones })]),
    ...(next === undefined
      ? []
      : to === FIELD
        ? [['Without another word by ', when(c, next.atMs), ' this becomes a call-out.'] as Line]
        : [w.say('trouble.becomes', { when: when(c, next.atMs) })]),
    w.say('trouble.sooner'),
  ];
}
