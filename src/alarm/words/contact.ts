import { CODES, LANGUAGES } from '../../say/contact/languages.ts';
import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Message } from '../../say/message.ts';
import type { Button, Line } from '../../say/reply.ts';
import { openTroubles } from '../../trip/conditions.ts';
import { nameOf, present, type TripState } from '../../trip/state.ts';
import type { Raised } from '../../trip/watch-state.ts';
import { lastSign, watched } from '../expectations.ts';
import { reached } from '../ladder.ts';
import { calledSince, handOf, hasLeft } from '../repeats.ts';
import { names, reachable } from '../who.ts';
import { ackButton } from './common.ts';
import {
  elsewhereLines,
  type Home,
  namesIn,
  nextOpen,
  numberIn,
  partyIn,
  when,
  whoIn,
} from './home.ts';
import { CONDITION } from './trouble.ts';

/** Longest name that stands in a message to somebody who has not agreed to get any. */
const NAME_MAX = 40;

/**
 * A name as it may stand in a message to a stranger: letters, digits, spaces, hyphens and apostrophes, so
 * that nobody can put an address, a link or an appeal of their own into it.
 */
export function cleanName(name: string): string {
  const clean = name
    .normalize('NFC')
    .replace(/[^\p{L}\p{M}\p{N}'’ -]+/gu, ' ')
    .replace(/\s+/gu, ' ')
    .trim();
  return [...clean].slice(0, NAME_MAX).join('').trim() || 'somebody';
}

/**
 * Says yes or no to being contact.
 *
 * @param more `sure` for who leaves a party that is out; `code` proves the address where it isn't a chat's
 */
export function answerButton(
  answer: 'yes' | 'no',
  label: string,
  more: { sure?: true; code?: string } = {},
): Button {
  return {
    label,
    ...(answer === 'yes' ? { tone: 'main' as const } : {}),
    press: { path: 'checkin contact', options: { answer, ...more } },
  };
}

/** Each other language by its own name, to go on in it. */
export function languageButtons(w: Words): Button[] {
  return CODES.filter((code) => code !== w.language).map((code) => ({
    label: LANGUAGES[code].name,
    press: { path: 'checkin contact', options: { answer: code } },
  }));
}

/** What a contact is and does, before they have agreed to anything. */
export function roleLines(state: TripState, w: Words = ENGLISH): Line[] {
  const [opener, trip] = [cleanName(state.openedBy.name), cleanName(state.name)];
  return [w.say('invite.role', { opener, trip }), w.say('invite.usual')];
}

/** What each answer leads to, and none. */
export function answerLines(w: Words): Line[] {
  return [w.say('invite.answers'), w.say('invite.silence')];
}

/** The one message that asks somebody whether they want to be contact. */
export function inviteMessage({ w, state }: Home, to: string): Message {
  return {
    subject: w.text('invite.subject', { opener: cleanName(state.openedBy.name) }),
    buttons: [
      answerButton('yes', w.text('button.yes')),
      answerButton('no', w.text('button.no')),
      ...languageButtons(w),
    ],
    lines: [
      w.say('invite.first', { name: cleanName(nameOf(state, to)) }),
      ...roleLines(state, w),
      ...answerLines(w),
    ],
  };
}

/**
 * To somebody who was asked, has not answered, and is the only one at home who could act: what stands, and
 * how to help. Told once in a trip. As they agreed to nothing, it has no words of anybody but names.
 */
export function lastResortMessage(
  h: Home,
  raised: Pick<Raised, 'dueMs' | 'root'>,
  to: string,
): Message {
  const { w, state } = h;
  const whose = cleanParty(h);
  const wall = `${cleanName(state.name)}${placeWords(state)}`;
  const trouble = openTroubles(state).find((t) => raised.root === `trouble:${t.seq}`);
  const sign = lastSign(state);
  const number = numberIn(w, state);
  return {
    subject: w.text('last.subject', {
      trip: cleanName(state.name),
      party: whose.party,
      why: trouble === undefined ? 'late' : 'trouble',
    }),
    now:
      trouble === undefined ? w.say('last.try', { number }) : w.say('last.tryTrouble', { number }),
    buttons: [
      answerButton('yes', w.text('button.yesHelp')),
      answerButton('no', w.text('button.noStranger')),
    ],
    lines: [
      w.say('last.first', {
        name: cleanName(nameOf(state, to)),
        opener: cleanName(state.openedBy.name),
      }),
      trouble === undefined
        ? w.say('last.late', { ...whose, wall, when: when(h, raised.dueMs) })
        : w.say('last.trouble', {
            wall,
            party: whose.party,
            who: cleanName(whoIn(w, state, trouble.who)),
            condition: w.text(CONDITION[trouble.condition]),
            when: when(h, trouble.atMs),
          }),
      sign === undefined
        ? w.say('heard.nothing')
        : w.say('last.heard', { when: when(h, sign.atMs) }),
      trouble === undefined ? w.say('last.try', { number }) : w.say('last.tryTrouble', { number }),
      ...elsewhereLines(h),
      w.say('last.answer'),
      w.say('rescue.note'),
    ],
  };
}

function cleanParty({ w, state }: Home): { party: string; count: number } {
  const party = present(state).filter((p) => p.roles.includes('climber'));
  if (party.length === 0) return partyIn({ w, state });
  return {
    party: namesIn(
      w,
      party.map((p) => ({ name: cleanName(p.name) })),
    ),
    count: party.length,
  };
}

function placeWords({ place }: TripState): string {
  const at =
    place.lat === undefined || place.lon === undefined ? '' : ` (${place.lat}, ${place.lon})`;
  return `${place.name === undefined ? '' : `, ${cleanName(place.name)}`}${at}`;
}

/** To the party: a contact has left, or wants to. */
export function leftMessage(state: TripState, person: string, gone: boolean): Message {
  const name = nameOf(state, person);
  const left = reachable(state);
  return {
    subject: gone
      ? `${state.name}: ${name} is no contact`
      : `${state.name}: ${name} wants to leave`,
    lines: gone
      ? [
          `${name} has said no to being contact, and is not told of alarms.`,
          ...whoIsLeft(state, left.length === 0 ? undefined : names(left)),
        ]
      : [
          `${name} wants to be contact no more. While you are out they are asked once more; until they confirm it they are told of alarms as before.`,
          'Think of who could take their place: /roster add role:contact',
        ],
  };
}

/** To a contact who was told of the same alarm: somebody they may count on has left. Undefined where it is over, or they are back. */
export function leftHomeMessage(h: Home, to: string, person: string): Message | undefined {
  const { w, state } = h;
  const raised = reached(state).get(to);
  if (raised === undefined || !hasLeft(state, person)) return undefined;
  const name = nameOf(state, person);
  const hand = handOf(state, person, raised);
  const others = reachable(state).filter((p) => p.id !== to);
  return {
    subject: w.text('left.subject', { trip: state.name, name }),
    buttons: calledSince(state, raised) ? [] : [ackButton(raised.seq, w)],
    lines: [
      w.say('left.first', { name, trip: state.name }),
      ...(hand === undefined ? [] : [w.say('left.hand', { name, when: when(h, hand.atMs) })]),
      others.length === 0
        ? w.say('left.alone')
        : w.say('left.others', { names: namesIn(w, others) }),
      ...nextOpen(h),
    ],
  };
}

function whoIsLeft(state: TripState, left: string | undefined): Line[] {
  if (left !== undefined)
    return [`At home there ${/ and /u.test(left) ? 'are' : 'is'} still ${left}.`];
  return [
    watched(state)
      ? 'NOBODY at home is told now if you are late. Ask somebody: /roster add role:contact'
      : 'Nobody at home would be told. Ask somebody else: /roster add role:contact',
  ];
}

/** To a contact who left by one press while the party is out: asked back. */
export function leavingMessage(h: Home): Message {
  const { w, state } = h;
  return {
    subject: w.text('leaving.subject', { trip: state.name }),
    now: w.say('leaving.then'),
    buttons: [answerButton('no', w.text('button.leave'), { sure: true })],
    lines: [w.say('leaving.first', partyIn(h)), w.say('leaving.then')],
  };
}

/** To the channel: somebody wrote what could not be read. It is shown as it is. */
export function mailMessage(state: TripState, seq: number): Message {
  const fact = state.entries.find(({ event }) => event.seq === seq)?.event;
  const data = fact?.kind === 'mail.received' ? fact.data : undefined;
  const name = nameOf(state, data?.person ?? '');
  return {
    subject: `${state.name}: a mail from ${name} was not understood`,
    lines: [
      `${name} wrote by mail: “${data?.words ?? ''}”`,
      'Nothing was done with it. Whoever understands it posts it: /pitch done, /checkin ok how:radio, /trouble report.',
    ],
  };
}
