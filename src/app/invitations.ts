import { createHash } from 'node:crypto';
import { z } from 'zod';
import { LOCAL_ACCOUNT, type WayTo } from '../alarm/consent.ts';
import { RATES } from '../limits.ts';
import type { Call } from '../record/call.ts';
import { Refusal } from '../say/refusal.ts';
import type { Store } from '../store/port.ts';
import { LOCAL_PREFIX } from '../trip/people.ts';
import { BY_LINK } from '../trip/ways.ts';
import type { Seals } from './page/seals.ts';
import { Rates } from './rates.ts';

/** What is kept of an address, by a seal of it, so that the database holds no list of people. */
const known = z.strictObject({
  /** When whoever reads there said no; epoch milliseconds. */
  noMs: z.int().optional(),
  /** When they were last asked. */
  askedMs: z.array(z.int()).max(20),
});
type Known = z.infer<typeof known>;

/** Letters and digits that are not taken for each other when read aloud (Crockford's base 32). */
const DIGITS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';

/**
 * Who may be asked to be contact, how often, and what proves that an answer comes from where the question
 * went. Who said no is remembered for all trips of this installation, until they say yes.
 */
export class Invitations {
  readonly #store: Pick<Store, 'getFact' | 'setFact'>;
  readonly #seals: Seals;
  readonly #rates = new Rates();

  constructor(store: Pick<Store, 'getFact' | 'setFact'>, seals: Seals) {
    this.#store = store;
    this.#seals = seals;
  }

  /** Eight signs that go with an invitation: who has them has read it. `K7QF-2MXD`. */
  code(trip: string, { person, way, to }: WayTo): string {
    const seal = BigInt(`0x${this.#seals.link('code', trip, person, way, to).slice(0, 10)}`);
    const signs = Array.from(
      { length: 8 },
      (_, i) => DIGITS[Number((seal >> BigInt(5 * i)) & 31n)] ?? '0',
    ).join('');
    return `${signs.slice(0, 4)}-${signs.slice(4)}`;
  }

  /** The secret of the address where an invitation is answered: 40 hexadecimal digits. */
  token(trip: string, { person, way, to }: WayTo): string {
    return this.#seals.link('asked', trip, person, way, to);
  }

  /** Whether whoever reads there has said no to all of it. */
  async saidNo({ way, to }: Pick<WayTo, 'way' | 'to'>): Promise<boolean> {
    // At the local channel nobody has an address of their own: a no is of that trip.
    if (to === LOCAL_ACCOUNT || to === BY_LINK) return false;
    return (await this.#known({ way, to })).noMs !== undefined;
  }

  /** Remembers a no, or that it was taken back. */
  async said(way: Pick<WayTo, 'way' | 'to'>, answer: 'yes' | 'no', nowMs: number): Promise<void> {
    if (way.to === LOCAL_ACCOUNT || way.to === BY_LINK) return;
    const { noMs: _, ...rest } = await this.#known(way);
    const next: Known = answer === 'no' ? { ...rest, noMs: Math.round(nowMs) } : rest;
    await this.#store.setFact(this.#name(way), JSON.stringify(next));
  }

  /**
   * Counts that somebody is asked here. The local channel, where nobody is a stranger, is not counted.
   *
   * @returns why they can't be asked now, said kindly
   */
  async mayAsk(call: Call, ways: readonly WayTo[]): Promise<Refusal | undefined> {
    if (call.actor.id.startsWith(LOCAL_PREFIX)) return undefined;
    for (const way of ways) {
      const costly = way.way === 'phone' ? (['invitedPhone', 'invitedPhoneAll'] as const) : [];
      const counted = this.#rates.counted(
        ['invited', 'invitedHere', 'invitedAll', ...costly],
        call,
      );
      if (counted !== undefined) return counted;
      const { most, inMs } = RATES.invitedAddress;
      const before = await this.#known(way);
      const askedMs = before.askedMs.filter((ms) => call.atMs - ms < inMs);
      if (askedMs.length >= most) {
        return new Refusal('too-often', [
          'That address has been asked to be contact several times today; nobody is asked there until tomorrow.',
          'Ask them by phone to answer the message they have, or name another way to reach them.',
        ]);
      }
      const next: Known = { ...before, askedMs: [...askedMs, Math.round(call.atMs)] };
      await this.#store.setFact(this.#name(way), JSON.stringify(next));
    }
    return undefined;
  }

  async #known(way: Pick<WayTo, 'way' | 'to'>): Promise<Known> {
    const text = await this.#store.getFact(this.#name(way));
    return text === undefined ? { askedMs: [] } : known.parse(JSON.parse(text));
  }

  #name({ way, to }: Pick<WayTo, 'way' | 'to'>): string {
    const seal = this.#seals.link('address', way, to);
    return `asked-address:${createHash('sha256').update(seal).digest('hex').slice(0, 32)}`;
  }
}

/** A code as somebody types it: without its hyphen, in small letters, O for 0 and I or L for 1. */
export function sameCode(typed: string, code: string): boolean {
  const plain = (text: string) =>
    text
      .toUpperCase()
      .replace(/[^0-9A-Z]/gu, '')
      .replace(/O/gu, '0')
      .replace(/[IL]/gu, '1');
  return plain(typed) === plain(code);
}
