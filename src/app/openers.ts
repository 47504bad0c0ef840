import { Refusal } from '../say/refusal.ts';
import type { Store } from '../store/port.ts';
import type { Call } from './command.ts';

/** Who may open trips on a server. */
export const OPENERS = ['everyone', 'moderators', 'managers'] as const;
export type Openers = (typeof OPENERS)[number];

const nameOf = (guild: string) => `openers:${guild}`;

/** As the server's managers have set it; everyone, until they do. */
export async function openersOf(store: Pick<Store, 'getFact'>, guild: string): Promise<Openers> {
  const set = await store.getFact(nameOf(guild));
  return OPENERS.find((who) => who === set) ?? 'everyone';
}

export async function setOpeners(
  store: Pick<Store, 'setFact'>,
  guild: string,
  who: Openers,
): Promise<void> {
  await store.setFact(nameOf(guild), who === 'everyone' ? undefined : who);
}

/** @throws Refusal for who may not open a trip where they ask for it */
export async function mustMayOpen(store: Pick<Store, 'getFact'>, call: Call): Promise<void> {
  const { guild } = call.where;
  if (guild === undefined || call.manager === true) return;
  if (call.silent === true) {
    throw new Refusal('may-not-open', [
      'You may read this channel and not write in it, so no trip is opened here.',
      'Open it in a channel of your party.',
    ]);
  }
  const openers = await openersOf(store, guild);
  if (openers === 'everyone' || (openers === 'moderators' && call.moderator === true)) return;
  const who = openers === 'managers' ? 'its managers open' : 'its managers and moderators open';
  throw new Refusal('may-not-open', [
    `On this server only ${who} trips.`,
    'One of them can open yours here; then /roster add lets you in. Managers change that: /trip openers.',
  ]);
}
