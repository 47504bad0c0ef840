import type { Message } from '../../say/message.ts';
import type { Button, Line } from '../../say/reply.ts';
import { openTroubles } from '../../trip/conditions.ts';
import { type Trouble, whoWords } from '../../trip/kinds/trouble.ts';
import { nameOf, present, type TripState } from '../../trip/state.ts';
import type { Raised } from '../../trip/watch-state.ts';
import { lastSign, watched } from '../expectations.ts';
import { names, partyNames, reachable, verb } from '../who.ts';
import { at, emergency, fromElsewhere, NOT_A_RESCUE } from './common.ts';
import { CONDITION_WORDS } from './trouble.ts';

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

/** What a contact is and does, before they have agreed to anything. */
export function roleLines(state: TripState): string[] {
  const { openedBy } = state;
  return [
    `${cleanName(openedBy.name)} asks you to be check-in contact for a climb, “${cleanName(state.name)}”: the person at home who is told when the climbers are not heard from in time.`,
    'Most often it is a slow day or a flat phone, and you try to reach them. If nobody is heard by an agreed time, you call the rescue service; you are given the number and what to say.',
  ];
}

/** What each answer leads to, and none. */
export const ANSWER_LINES: readonly string[] = [
  'You are told of nothing unless you say yes, and you can leave at any time. After a no nobody can ask you here again.',
  'If you do not answer, there is one more message only if they are so late that the rescue service should be called and nobody else at home has said yes.',
];

/** The one message that asks somebody whether they want to be contact. */
export function inviteMessage(state: TripState, to: string): Message {
  return {
    subject: `Will you be the contact at home for ${cleanName(state.openedBy.name)}?`,
    buttons: [answerButton('yes', 'Yes, I will'), answerButton('no', 'No')],
    lines: [
      `${cleanName(nameOf(state, to))}, you are asked for something.`,
      ...roleLines(state),
      ...ANSWER_LINES,
    ],
  };
}

/**
 * To somebody who was asked, has not answered, and is the only one at home who could act: what stands, and
 * how to help. Told once in a trip. As they agreed to nothing, it has no words of anybody but names.
 */
export function lastResortMessage(
  state: TripState,
  raised: Pick<Raised, 'dueMs' | 'root'>,
  to: string,
  nowMs: number,
): Message {
  const party = cleanParty(state);
  const wall = `${cleanName(state.name)}${placeWords(state)}`;
  const trouble = openTroubles(state).find((t) => raised.root === `trouble:${t.seq}`);
  const opener = cleanName(state.openedBy.name);
  const sign = lastSign(state);
  return {
    subject: `${cleanName(state.name)}: ${party} ${trouble === undefined ? 'overdue' : 'in trouble'}, can you help?`,
    buttons: [
      answerButton('yes', 'Yes, I will help'),
      answerButton('no', 'I do not know these people'),
    ],
    lines: [
      `${cleanName(nameOf(state, to))}, you were asked to be contact for ${opener} and have not answered. Nobody else at home has said yes, so you are told this once.`,
      trouble === undefined
        ? [
            `${party} ${verb(state, 'is', 'are')} not back from ${wall}. Somebody should have heard from them by `,
            at(state, raised.dueMs, nowMs),
            '.',
          ]
        : [
            `The party on ${wall}, ${party}, needs help. ${troubledWords(state, trouble)}, told `,
            at(state, trouble.atMs, nowMs),
            '.',
          ],
      sign === undefined
        ? 'Nothing was heard yet.'
        : ['Last heard from them: ', at(state, sign.atMs, nowMs), '.'],
      trouble === undefined
        ? `If you know them: try to reach them now. If you can’t, call ${emergency(state)} and say this.`
        : `If you know them: try to reach them now. Call ${emergency(state)} and say this, unless you hear that somebody has.`,
      ...fromElsewhere(state),
      'Say yes, and you are shown all that is known. If you do not know these people, say no, and nothing more comes.',
      NOT_A_RESCUE,
    ],
  };
}

function cleanParty(state: TripState): string {
  const party = present(state).filter((p) => p.roles.includes('climber'));
  return party.length === 0 ? 'the party' : names(party.map((p) => ({ name: cleanName(p.name) })));
}

/** `Jonas: hurt`, in our own words. */
function troubledWords(state: TripState, { who, condition }: Trouble): string {
  return `${cleanName(whoWords(state, who))}: ${CONDITION_WORDS[condition]}`;
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
      ? `${state.name}: ${name} is no longer contact`
      : `${state.name}: ${name} wants to leave`,
    lines: gone
      ? [
          `${name} has said no to being contact, and is not told of alarms any more.`,
          ...whoIsLeft(state, left.length === 0 ? undefined : names(left)),
        ]
      : [
          `${name} wants to be contact no more. While you are out they are asked once more; until they confirm it they are told of alarms as before.`,
          'Think of who could take their place: /roster add role:contact',
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
export function leavingMessage(state: TripState): Message {
  const party = partyNames(state);
  return {
    subject: `${state.name}: do you really want to leave?`,
    buttons: [answerButton('no', 'Leave', { sure: true })],
    lines: [
      `You asked not to get these messages. ${party} ${verb(state, 'is', 'are')} out now and ${verb(state, 'counts', 'count')} on you, so nothing is changed yet.`,
      'To leave all the same, say so once more. To stay, do nothing. They know that you asked.',
    ],
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
