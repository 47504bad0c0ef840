import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Message } from '../../say/message.ts';
import type { Line } from '../../say/reply.ts';
import { nameOf, personById, type TripState } from '../../trip/state.ts';
import type { Consent } from '../../trip/watch-state.ts';
import { WAY_WORDS, type Way } from '../../trip/ways.ts';
import { watched } from '../expectations.ts';
import { reachable, waysOf } from '../who.ts';
import type { Home } from './home.ts';

/** To a topic that a contact has named: whether it is theirs, and whether they want to be told there. */
export function topicMessage({ w }: Pick<Home, 'w'>): Message {
  return { subject: w.text('ntfy.subject'), lines: topicLines(w) };
}

/** What is asked of somebody who is contact already, in words that show nothing of the trip. */
export function topicLines(w: Words): Line[] {
  return [w.say('ntfy.ask'), w.say('ntfy.askElse')];
}

/** A way to a contact has ended: to the party, or to the contact by another way. */
export function lostMessage(h: Home, lost: Pick<Consent, 'person' | 'way'>, to: string): Message {
  return to === lost.person ? lostToContact(h, lost) : lostToParty(h.state, lost);
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
  { w, state }: Home,
  { person: id, way }: Pick<Consent, 'person' | 'way'>,
): Message {
  const push = way === 'push';
  const ways = w.list(waysLeft(state, id).map((one) => w.text(`way.${one}`)));
  return {
    subject: w.text('lost.subject', { trip: state.name }),
    lines: [
      push ? w.say('lost.push') : w.say('lost.way', { way: w.text(`way.${way}`) }),
      w.say('lost.still', { ways }),
      ...(push ? [w.say('lost.again')] : []),
    ],
  };
}

function waysLeft(state: TripState, id: string): Way[] {
  const person = personById(state, id);
  return person === undefined ? [] : waysOf(state, person);
}

/** `e-mail and phone`; empty when nothing is left. */
function leftWords(state: TripState, id: string): string {
  return ENGLISH.list(waysLeft(state, id).map((way) => WAY_WORDS[way]));
}
