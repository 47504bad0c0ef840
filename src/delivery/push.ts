import { generateRequestDetails, type RequestDetails } from 'web-push';
import type { Clock } from '../time/clock.ts';
import type { Device } from '../trip/watch-state.ts';
import { GONE } from './devices.ts';
import type { Envelope, Sent, Short, Ways } from './ports.ts';
import { type Answer, posted } from './posted.ts';
import { isPushService, type PushKeys } from './push-keys.ts';
import { retryAfterMs } from './retry.ts';

export interface PushSettings {
  keys: PushKeys;
  /** Whom a push service writes to when something is wrong with our messages: https: or mailto: (RFC 8292, 2.1). */
  subject: string;
  /** An attempt may take this long; 15 s unless set. */
  patienceMs?: number;
  /** Takes push services on this machine as well: for tests. */
  loopback?: boolean;
}

/**
 * Messages to browsers by way of their push services (RFC 8030). What is written in them only the browser can
 * read (RFC 8291); the service knows us by our key (RFC 8292).
 */
export function createPush(settings: PushSettings, clock: Clock): Required<Pick<Ways, 'push'>> {
  const { keys, subject, patienceMs = 15_000, loopback = false } = settings;
  return {
    async push({ device }, envelope) {
      const { short, nonce } = envelope;
      if (short === undefined) return { ok: false, retry: 'never', why: 'no-words' };
      if (!loopback && !isPushService(device.endpoint)) {
        return { ok: false, retry: 'never', why: 'push-address' };
      }
      const request = sealed(device, JSON.stringify(shown(short, nonce)), {
        vapidDetails: { subject, ...keys },
        TTL: lifeS(envelope),
        urgency: (envelope.urgency ?? 5) <= 2 ? 'high' : 'normal',
        // One that is sent twice takes the place of the first where that still waits (RFC 8030, 5.4).
        topic: nonce.replace(/[^A-Za-z0-9_-]/gu, '-').slice(0, 32),
        contentEncoding: 'aes128gcm',
      });
      // Keys that no browser could have made.
      if (request === undefined) return { ok: false, retry: 'never', why: 'push-keys' };
      const { endpoint, headers, body } = request;
      const post = {
        url: new URL(endpoint),
        headers: headers as Record<string, string>,
        body: body ?? '',
        loopback,
      };
      return verdictOf(await posted(post, clock, patienceMs), clock.wallMs());
    },
  };
}

type Options = Parameters<typeof generateRequestDetails>[2];

function sealed(
  { endpoint, p256dh, auth }: Device,
  text: string,
  options: Options,
): RequestDetails | undefined {
  try {
    return generateRequestDetails({ endpoint, keys: { p256dh, auth } }, text, options);
  } catch {
    return undefined;
  }
}

/** What our own service worker shows. */
function shown({ title, text, lead, url, step, language }: Short, tag: string) {
  return {
    title,
    body: url === undefined ? `${text} ${lead}` : text,
    tag,
    lang: language,
    ...(url === undefined ? {} : { url }),
    // It stays on the screen until it was seen.
    stays: step === 'alert' || step === 'distress',
  };
}

/** Seconds for which a service keeps it for a device that is off: an alarm is told again and again anyway. */
function lifeS({ urgency = 5 }: Envelope): number {
  return urgency <= 2 ? 4 * 3600 : 24 * 3600;
}

/** RFC 8030, 7.3: 404 and 410 say that there is no such subscription any more. */
function verdictOf(answer: Answer, nowMs: number): Sent {
  if ('failed' in answer) return { ok: false, retry: 'later', why: `push-${answer.failed}` };
  const { status, retryAfter } = answer;
  if (status >= 200 && status < 300) return { ok: true, receipt: `push-${status}` };
  if (status === 404 || status === 410) return { ok: false, retry: 'never', why: GONE };
  const why = `push-${status}`;
  if (status !== 429 && status < 500) return { ok: false, retry: 'never', why };
  const afterMs = retryAfterMs(retryAfter, nowMs);
  return { ok: false, retry: 'later', why, ...(afterMs === undefined ? {} : { afterMs }) };
}
