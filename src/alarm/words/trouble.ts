import type { Message } from '../../say/message.ts';
import type { Button, Line } from '../../say/reply.ts';
import { type Trouble, whoWords } from '../../trip/kinds/trouble.ts';
import type { TripState } from '../../trip/state.ts';
import type { Raised } from '../../trip/watch-state.ts';
import { accountOf, contacts, FIELD, field, names } from '../who.ts';
import {
  ackButton,
  at,
  calledButton,
  capital,
  emergency,
  fromElsewhere,
  lastHeard,
  NOT_A_RESCUE,
  nextPhaseAt,
  phones,
  SHEET,
} from './common.ts';

/** Whom a trouble is told to, and when. */
export interface TroubleContext {
  state: TripState;
  raised: Raised;
  trouble: Trouble;
  /** `FIELD`, or the id of the person who reads this. */
  to: string;
  nowMs: number;
}

/** How somebody in trouble is. */
export const CONDITION_WORDS = {
  hurt: 'hurt',
  unknown: 'not known how they are',
  well: 'unhurt',
} as const;

/** Ends this trouble: a form asks who says so and how they know. */
export function overButton({ seq }: Pick<Trouble, 'seq'>): Button {
  return {
    label: 'The trouble is over',
    press: { path: 'trouble over', options: { trouble: seq } },
    ask: {
      title: 'The trouble is over',
      fields: [
        {
          name: 'said',
          label: 'Who says so, and how do they know?',
          placeholder: 'Mara by radio: all down at the landing, met the crew',
        },
      ],
    },
  };
}

/** Who is in trouble, how, where, and what they need: as told, nothing guessed. */
export function troubleLines(state: TripState, trouble: Trouble, nowMs: number): Line[] {
  const { who, what, where, needs, condition, by, how, updates } = trouble;
  const heard = how === 'self' ? '' : `, ${HOW_WORDS[how]}`;
  return [
    [
      `${capital(whoWords(state, who))} (${CONDITION_WORDS[condition]}): “${what}”. Told `,
      at(state, trouble.toldMs, nowMs),
      ` by ${by.name}${heard}.`,
    ],
    ...(where === undefined ? [] : [`Where: ${where}.`]),
    ...(needs === undefined ? [] : [`Needed: ${needs}.`]),
    ...updates
      .slice(-3)
      .map((u): Line => [`“${u.words}” (`, at(state, u.atMs, nowMs), `, ${u.by.name})`]),
  ];
}

const HOW_WORDS = { radio: 'by radio', seen: 'who saw it', reached: 'by phone' } as const;

/** To the channel or to one contact: trouble was reported, and what to do about it now. */
export function troubleMessage(c: TroubleContext): Message {
  const { state, raised, trouble, nowMs, to } = c;
  const called = raised.phase === 'distress';
  const pings = to === FIELD ? field(state).flatMap((p) => accountOf(state, p) ?? []) : undefined;
  return {
    subject: `${state.name}: ${called ? 'trouble, call-out wanted' : 'trouble'}`,
    ...(pings === undefined ? {} : { pings }),
    buttons: [
      ackButton(raised.seq),
      ...(called ? [calledButton(raised.seq)] : []),
      SHEET,
      overButton(trouble),
    ],
    lines: [
      first(c),
      ...troubleLines(state, trouble, nowMs),
      ...(called ? distressSteps(c) : copingSteps(c)),
      lastHeard(state, nowMs),
      'A message or a sign of life doesn’t end this. Only who knows that it is over ends it.',
      NOT_A_RESCUE,
    ],
  };
}

function first({ state, raised, trouble, to }: TroubleContext): Line {
  if (raised.phase !== 'distress')
    return `Trouble on ${state.name}. They cope; you should know of it.`;
  const silent = trouble.calloutMs === undefined;
  const why = silent ? 'nothing more was heard of the trouble' : 'a call-out is wanted';
  return to === FIELD
    ? `On ${state.name} ${why}. Call ${emergency(state)} if nobody has, and say so here.`
    : `Call ${emergency(state)} now: on ${state.name} ${why}.`;
}

function distressSteps({ state, raised, to }: TroubleContext): Line[] {
  const others = contacts(state).filter((p) => raised.to.includes(p.id) && p.id !== to);
  const told =
    others.length === 0 ? [] : [`Told as well: ${names(others)}. Agree who makes the call.`];
  return to === FIELD
    ? told
    : [
        ...told,
        ...fromElsewhere(state),
        'Read them the sheet. Then say that the call was made, so that the others know.',
      ];
}

function copingSteps({ state, raised, to, nowMs }: TroubleContext): Line[] {
  const numbers = phones(state, ['climber', 'ground']);
  const next = nextPhaseAt(state, raised.phase, to);
  return [
    ...(to === FIELD || numbers === '' ? [] : [`To reach them: ${numbers}.`]),
    ...(next === undefined
      ? []
      : [
          [
            'Without another word by ',
            at(state, next.atMs, nowMs),
            ' this becomes a call-out.',
          ] as Line,
        ]),
    'Call sooner if you have reason to.',
  ];
}
