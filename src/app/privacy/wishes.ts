import { z } from 'zod';
import type { Store } from '../../store/port.ts';

/** Ends in the trip's id, so that purging a trip takes it along. */
const nameOf = (trip: string) => `erase-person:${trip}`;
const users = z.array(z.string());

type Facts = Pick<Store, 'getFact' | 'setFact'>;

/** Accounts that asked to be taken out of a trip once it is over. */
export async function wishesFor(store: Facts, trip: string): Promise<string[]> {
  const text = await store.getFact(nameOf(trip));
  return text === undefined ? [] : users.parse(JSON.parse(text));
}

/** Keeps or drops a wish. */
export async function setWish(
  store: Facts,
  trip: string,
  user: string,
  wished: boolean,
): Promise<void> {
  const others = (await wishesFor(store, trip)).filter((u) => u !== user);
  const all = wished ? [...others, user] : others;
  await store.setFact(nameOf(trip), all.length === 0 ? undefined : JSON.stringify(all));
}
