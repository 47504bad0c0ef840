import type {
  BoardChannel,
  BoardMessage,
  BoardOutcome,
  BoardTrouble,
} from '../../app/board/port.ts';
import type { Outcome, Outgoing } from './outgoing.ts';

/** Words of api-errors.ts that say more than "refused". */
const TROUBLE: Readonly<Record<string, BoardTrouble>> = {
  'unknown-message': 'gone',
  'not-our-message': 'gone',
  'unknown-channel': 'no-access',
  'no-access': 'no-access',
  'not-found': 'no-access',
  'no-permission': 'no-permission',
  forbidden: 'no-permission',
  'pins-full': 'pins-full',
  'thread-archived': 'archived',
  'thread-locked': 'archived',
};

/** The board by Discord messages. */
export function boardChannel(outgoing: Outgoing): BoardChannel {
  return {
    post: async (channel, message, nonce) =>
      outcome(await outgoing.toChannel(channel, { ...framed(message), nonce, silent: true })),
    edit: async (place, message) => outcome(await outgoing.edit(place, framed(message))),
    pin: async (place) => outcome(await outgoing.pin(place)),
    remove: async (place) => outcome(await outgoing.remove(place)),
  };
}

/** Always a card, whatever it says: what was one once can't be anything else. */
function framed(message: BoardMessage): BoardMessage {
  return { ...message, reply: { card: 'heed', ...message.reply } };
}

function outcome<T>(from: Outcome<T>): BoardOutcome<T> {
  if (from.ok) return from;
  if (from.error.retry === 'later') return { ok: false, why: 'later' };
  return { ok: false, why: TROUBLE[from.error.why] ?? 'refused' };
}
