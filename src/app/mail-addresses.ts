import { z } from 'zod';
import type { Store } from '../store/port.ts';
import { type Seals, sameSeal } from './page/seals.ts';

/** Whose address it is: a contact's for answers, by the mailbox they are told at; or a climber's for posts. */
export interface MailUse {
  person: string;
  /** A contact's own address; empty for posts. */
  to: string;
}

const renewals = z.strictObject({ n: z.int().min(0) });
/** Ends in the trip's id, so that purging a trip takes it along. */
const nameOf = (trip: string, person: string) => `mail-address:${person}:${trip}`;

const LOCAL_PART = /^([a-z0-9]{1,20})\.([0-9a-f]{24})$/u;

/**
 * Addresses at which mail is read: `words+TRIP.SECRET@example.org`. The secret of 96 bits says whose it is; a
 * sender's name and address prove nothing.
 */
export class MailAddresses {
  readonly #store: Pick<Store, 'getFact' | 'setFact'>;
  readonly #seals: Seals;
  readonly #pattern: string;

  /** @param pattern an address with a * where the secret goes: `words+*@example.org`, `*@words.example.org` */
  constructor(store: Pick<Store, 'getFact' | 'setFact'>, seals: Seals, pattern: string) {
    this.#store = store;
    this.#seals = seals;
    this.#pattern = pattern.toLowerCase();
  }

  /** The address for one use; the same until it is renewed. */
  async address(trip: string, use: MailUse): Promise<string> {
    return this.#pattern.replace('*', `${trip}.${await this.#secret(trip, use)}`);
  }

  /** The trip and the secret of an address; undefined where it isn't one of ours. */
  read(address: string): { trip: string; secret: string } | undefined {
    const [before = '', after = ''] = this.#pattern.split('*');
    const given = address.trim().toLowerCase();
    if (!given.startsWith(before) || !given.endsWith(after)) return undefined;
    const found = LOCAL_PART.exec(given.slice(before.length, given.length - after.length));
    return found === null ? undefined : { trip: found[1] ?? '', secret: found[2] ?? '' };
  }

  /** Whether a secret is of this use. */
  async opens(trip: string, use: MailUse, secret: string): Promise<boolean> {
    return sameSeal(secret, await this.#secret(trip, use));
  }

  /** The addresses of a person end; the next message brings others. */
  async renew(trip: string, person: string): Promise<void> {
    const fact = { n: (await this.#renewed(trip, person)) + 1 };
    await this.#store.setFact(nameOf(trip, person), JSON.stringify(fact));
  }

  async #secret(trip: string, { person, to }: MailUse): Promise<string> {
    const n = String(await this.#renewed(trip, person));
    return this.#seals.link('mail', trip, person, to.toLowerCase(), n).slice(0, 24);
  }

  async #renewed(trip: string, person: string): Promise<number> {
    const text = await this.#store.getFact(nameOf(trip, person));
    return text === undefined ? 0 : renewals.parse(JSON.parse(text)).n;
  }
}
