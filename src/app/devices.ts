import { createECDH, createHash } from 'node:crypto';
import { waysSaid } from '../alarm/consent.ts';
import type { Call } from '../record/call.ts';
import { change } from '../record/change.ts';
import { ENGLISH } from '../say/contact/words.ts';
import { Refusal } from '../say/refusal.ts';
import type { Reply } from '../say/reply.ts';
import type { Draft } from '../trip/fact.ts';
import type { Person } from '../trip/people.ts';
import { personById, type TripState } from '../trip/state.ts';
import { BY_LINK } from '../trip/ways.ts';
import type { App } from './app.ts';
import { wordsToward } from './toward.ts';

/** What a browser hands over when it subscribes (W3C Push API, PushSubscriptionJSON). */
export interface Subscription {
  endpoint: string;
  p256dh: string;
  auth: string;
}

/** Browsers that one contact turns push on in within an hour; more is no person. */
const MOST_AN_HOUR = 10;
const HOUR_MS = 3_600_000;

/** What was handed over, when we would send to it and its keys are keys; undefined otherwise. */
export function readSubscription(
  app: Pick<App, 'push'>,
  body: Record<string, unknown>,
): Subscription | undefined {
  const { endpoint, p256dh, auth } = body;
  if (typeof endpoint !== 'string' || app.push?.takes(endpoint) !== true) return undefined;
  if (typeof p256dh !== 'string' || typeof auth !== 'string') return undefined;
  // RFC 8291, 3.1 and 3.2: a point on P-256, uncompressed, and 16 bytes.
  const [point, secret] = [fromBase64url(p256dh), fromBase64url(auth)];
  if (point?.length !== 65 || secret?.length !== 16 || !isOnCurve(point)) return undefined;
  return { endpoint, p256dh: point.toString('base64url'), auth: secret.toString('base64url') };
}

/**
 * A contact turns on push messages in the browser before them. By that they have said yes to them; who was
 * handed a link has said yes to being contact.
 */
export function turnPushOn(
  app: App,
  call: Call,
  { id }: Pick<Person, 'id'>,
  { byLink, ...subscription }: Subscription & { byLink: boolean },
): Promise<Reply> {
  const to = createHash('sha256').update(subscription.endpoint).digest('hex').slice(0, 16);
  return change(app, call, {
    decide({ state }) {
      mustBeFew(state, id, call.atMs);
      const yes = (way: string): Draft => ({
        kind: 'contact.answered',
        data: { person: id, way: 'push', to: way, answer: 'yes' },
      });
      const device: Draft = { kind: 'contact.device', data: { person: id, to, ...subscription } };
      return [device, yes(to), ...(byLink ? [yes(BY_LINK)] : [])];
    },
    answer({ after }) {
      const w = wordsToward(after, call);
      return { lines: [w.say('push.isOn'), w.say('push.tryNow')] };
    },
  });
}

/** A contact turns push messages off, in all their browsers. Whoever has no other way leaves by saying so. */
export function turnPushOff(app: App, call: Call, { id }: Pick<Person, 'id'>): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const person = personById(state, id);
      const yes = person === undefined ? [] : waysSaid(state, person, 'yes');
      if (yes.every(({ way }) => way === 'push')) {
        throw new Refusal('last-way', ENGLISH.text('refused.last-way'));
      }
      return state.watch.devices
        .filter((d) => d.person === id)
        .map(({ to }) => ({
          kind: 'contact.lost',
          data: { person: id, way: 'push', to, why: 'turned off' },
        }));
    },
    answer: ({ after }) => ({ lines: [wordsToward(after, call).say('push.isOff')] }),
  });
}

function mustBeFew(state: TripState, person: string, nowMs: number): void {
  const lately = state.entries.filter(
    ({ event }) =>
      event.kind === 'contact.device' &&
      event.data.person === person &&
      nowMs - event.recordedAtMs < HOUR_MS,
  );
  if (lately.length < MOST_AN_HOUR) return;
  throw new Refusal(
    'too-often',
    'Push was turned on many times within this hour. Try again later.',
  );
}

function fromBase64url(text: string): Buffer | undefined {
  return /^[A-Za-z0-9_-]{1,200}={0,2}$/u.test(text) ? Buffer.from(text, 'base64url') : undefined;
}

function isOnCurve(point: Buffer): boolean {
  const pair = createECDH('prime256v1');
  pair.generateKeys();
  try {
    pair.computeSecret(point);
    return true;
  } catch {
    return false;
  }
}
