import { createHash, timingSafeEqual } from 'node:crypto';
import { z } from 'zod';
import type { Pages, Whose } from '../../app/page/port.ts';
import { createSeals, type Seals, sameSeal } from '../../app/page/seals.ts';
import type { Store } from '../../store/port.ts';

const linkFact = z.strictObject({
  /** SHA-256 of the token, hex: the token itself is known to whoever has the link only. */
  hash: z.string().regex(/^[0-9a-f]{64}$/),
  madeAtMs: z.int(),
});

/** Ends in the trip's id, so that purging a trip takes it along. */
const nameOf = (trip: string, whose: Whose) =>
  whose === 'family' ? `family-link:${trip}` : `page-link:${trip}`;
/** Where each is served. */
const AT: Readonly<Record<Whose, string>> = { helpers: 't', family: 'f' };

/** How often a contact's own link was renewed. */
const renewals = z.strictObject({ n: z.int().min(0) });
const ownNameOf = (trip: string, person: string) => `contact-link:${person}:${trip}`;

export interface LinkParts {
  store: Pick<Store, 'getFact' | 'setFact' | 'swapFact' | 'trip'>;
  /** Where the page is reached: `https://example.org`. */
  baseUrl: string;
  /** 160 random bits as 40 hexadecimal digits, fresh each time; no sign in them that a chat would format. */
  token(): string;
  /** The installation's secret; contacts' own links are made of it. At least 32 bytes. */
  secret: Uint8Array;
}

export interface PageLinks extends Pages {
  /** Whether this token opens this trip's page now. Takes as long for a wrong one as for the right one. */
  opens(trip: string, token: string, nowMs: number, whose?: Whose): Promise<boolean>;
  /** Whether this token opens this contact's own page; whether there is such a contact is not asked here. */
  opensOwn(trip: string, person: string, token: string): Promise<boolean>;
  seals: Seals;
}

/** A link that was passed on and forgotten opens nothing for ever: longer than a wall takes. Engineering choice. */
export const LINK_MS = 14 * 86_400_000;

const parse = (text: string) => linkFact.parse(JSON.parse(text));

/** No token's hash is all zeroes. */
const NO_LINK = JSON.stringify({ hash: '0'.repeat(64), madeAtMs: 0 });

const TOKEN = /^[0-9a-f]{40}$/;

/** @throws RangeError for a base address that isn't a plain http(s) one without a path, or a short secret */
export function createLinks({ store, baseUrl, token, secret }: LinkParts): PageLinks {
  const origin = originOf(baseUrl);
  const seals = createSeals(secret);
  const renewed = async (trip: string, person: string) => {
    const text = await store.getFact(ownNameOf(trip, person));
    return text === undefined ? 0 : renewals.parse(JSON.parse(text)).n;
  };
  const ownToken = async (trip: string, person: string) =>
    seals.link(trip, person, String(await renewed(trip, person)));
  const read = async (trip: string, whose: Whose) => {
    const text = await store.getFact(nameOf(trip, whose));
    return text === undefined ? undefined : parse(text);
  };
  return {
    async make(trip, nowMs, whose = 'helpers') {
      const secret = token();
      if (!TOKEN.test(secret)) throw new Error('a token must have 40 hexadecimal digits');
      const fact = { hash: hashOf(secret).toString('hex'), madeAtMs: Math.round(nowMs) };
      await store.setFact(nameOf(trip, whose), JSON.stringify(fact));
      return `${origin}/${AT[whose]}/${trip}/${secret}`;
    },
    async revoke(trip, whose = 'helpers') {
      const there = (await read(trip, whose)) !== undefined;
      await store.setFact(nameOf(trip, whose), undefined);
      return there;
    },
    madeAt: async (trip, whose = 'helpers') => (await read(trip, whose))?.madeAtMs,
    async opens(trip, given, nowMs, whose = 'helpers') {
      // Read and compared even when there is nothing to compare with.
      const fact = parse((await store.getFact(nameOf(trip, whose))) ?? NO_LINK);
      const known = Buffer.from(fact.hash, 'hex');
      const same = timingSafeEqual(hashOf(given), known);
      // A closed trip has no page: its link ends with it.
      const over = nowMs - fact.madeAtMs > LINK_MS;
      return same && !over && (await store.trip(trip))?.status === 'open';
    },
    own: async (trip, person) => `${origin}/c/${trip}/${person}/${await ownToken(trip, person)}`,
    asked: (trip, token) => `${origin}/a/${trip}/${token}`,
    async renew(trip, person) {
      const was = await store.getFact(ownNameOf(trip, person));
      const n = was === undefined ? 0 : renewals.parse(JSON.parse(was)).n;
      // Renewed by somebody else at the same moment: the old link has ended by that.
      await store.swapFact(ownNameOf(trip, person), was, JSON.stringify({ n: n + 1 }));
    },
    opensOwn: async (trip, person, given) => sameSeal(given, await ownToken(trip, person)),
    seals,
  };
}

function originOf(baseUrl: string): string {
  const url = URL.canParse(baseUrl) ? new URL(baseUrl) : undefined;
  const web = url?.protocol === 'https:' || url?.protocol === 'http:';
  if (url === undefined || !web || url.pathname !== '/' || url.search !== '' || url.hash !== '') {
    throw new RangeError(`not a base address without a path, like https://example.org: ${baseUrl}`);
  }
  return url.origin;
}

function hashOf(token: string): Buffer {
  return createHash('sha256').update(token, 'utf8').digest();
}
