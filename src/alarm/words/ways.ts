import type { Message } from '../../say/message.ts';
import { offset } from '../../time/format.ts';
import { wallTime } from '../../time/zone.ts';
import { nameOf, personById, type TripState } from '../../trip/state.ts';
import type { Consent } from '../../trip/watch-state.ts';
import { WAY_WORDS } from '../../trip/ways.ts';
import { watched } from '../expectations.ts';
import { reachable, waysOf } from '../who.ts';

/** Before the link of a short message, by what it is for. */
export const LEAD = {
  ask: 'Say yes or no:',
  answer: 'What to do, and your answer:',
  look: 'More on your page:',
  back: 'Turn it on again:',
} as const;

/** Where there is no page to say it on. */
export const NO_PAGE = 'Answer in the chat, or tell somebody who is there.';

/** What a rehearsal asks for, in a short message. */
export const PRESS_IT =
  "Open the page and press I've got it, so that the party knows this reached you.";

/** Which clock the times of a short message go by: `Times: the wall’s, UTC+2.` */
export function wallClock({ zone }: TripState, nowMs: number): string {
  return `Times: the wall’s, UTC${offset(wallTime(zone, nowMs))}.`;
}

/** A way to a contact has ended: to the party, or to the contact by another way. */
export function lostMessage(state: TripState, lost: Pick<Consent, 'person' | 'way'>, to: string) {
  return to === lost.person ? lostToContact(state, lost) : lostToParty(state, lost);
}

function lostToParty(
  state: TripState,
  { person: id, way }: Pick<Consent, 'person' | 'way'>,
): Message {
  const name = nameOf(state, id);
  const left = leftWords(state, id);
  const alone = left === '' && !reachable(state).some((p) => p.id !== id);
  return {
    subject: `${state.name}: ${name} is not reached by ${WAY_WORDS[way]}`,
    lines: [
      way === 'push'
        ? `Push messages to a device of ${name} have ended: it takes no more of them.`
        : `The rehearsal did not reach ${name} by ${WAY_WORDS[way]}.`,
      left === ''
        ? `${alone && watched(state) ? 'NOBODY at home is told now if you are late. ' : ''}${name} has no other way: reach them by a call.`
        : `They are still told by ${left}.`,
      way === 'push'
        ? 'They turn it on again on their own page. Then try it: /checkin drill'
        : 'Check the number and the address: /roster edit. Then try it: /checkin drill',
    ],
  };
}

function lostToContact(
  state: TripState,
  { person: id, way }: Pick<Consent, 'person' | 'way'>,
): Message {
  const what =
    way === 'push' ? 'Push messages to one of your devices' : `Messages by ${WAY_WORDS[way]}`;
  return {
    subject: `${state.name}: one way to reach you has ended`,
    lines: [
      `${what} no longer arrive. You are told by ${leftWords(state, id)} instead.`,
      ...(way === 'push' ? ['You can turn push on again on your own page.'] : []),
    ],
  };
}

/** `e-mail and phone`; empty when nothing is left. */
function leftWords(state: TripState, id: string): string {
  const person = personById(state, id);
  const ways = person === undefined ? [] : waysOf(state, person).map((way) => WAY_WORDS[way]);
  return ways.length < 2 ? (ways[0] ?? '') : `${ways.slice(0, -1).join(', ')} and ${ways.at(-1)}`;
}
