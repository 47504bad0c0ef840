import { createHmac } from 'node:crypto';
import { cleanName } from '../alarm/words/contact.ts';
import type { Clock } from '../time/clock.ts';
import { keyOf, webhookUrl } from '../webhook-keys.ts';
import type { Envelope, Sent, Short, Ways } from './ports.ts';
import { retryAfterMs } from './retry.ts';

export interface WebhookSettings {
  /** The operator's gateway. */
  url: string;
  /** `whsec_` and base64 of 24 to 64 bytes; the first signs first, and others while they are being changed. */
  secrets: readonly string[];
  /** An attempt may take this long; 15 s unless set. */
  patienceMs?: number;
}

/** A gateway for text messages and calls, and whether it took the last message it was given. */
export interface Webhook extends Required<Pick<Ways, 'phone'>> {
  /** Why it does not, in a word; undefined while it does, and before the first. */
  trouble(): string | undefined;
}

/**
 * Messages to phones by an HTTP POST to whatever the operator has behind it, signed as the Standard Webhooks
 * specification 1.0.0 has it: HMAC with SHA-256 over id, time and body. The id is the same on every attempt.
 *
 * @throws RangeError for an address or a secret that can't be used
 */
export function createWebhook(settings: WebhookSettings, clock: Clock): Webhook {
  const url = webhookUrl(settings.url);
  const keys = settings.secrets.map(keyOf);
  const { patienceMs = 15_000 } = settings;
  let trouble: string | undefined;
  return {
    trouble: () => trouble,
    async phone({ number, name }, envelope) {
      const { short, nonce } = envelope;
      if (short === undefined) return { ok: false, retry: 'never', why: 'no-words' };
      const body = JSON.stringify(bodyOf(short, envelope, { number, name }));
      const headers = { 'content-type': 'application/json', 'user-agent': 'tagline' };
      const sent = await posted(url, clock, patienceMs, {
        body,
        headers: { ...headers, ...signed(keys, nonce, Math.floor(envelope.nowMs / 1000), body) },
      });
      // A number that can't be reached is no fault of the gateway.
      trouble = sent.ok || sent.retry === 'never' ? undefined : sent.why;
      return sent.ok ? { ok: true, receipt: nonce } : sent;
    },
  };
}

/** What a gateway is told. OPERATING.md has it field by field. */
function bodyOf(
  { title, text, lead, url, step, language }: Short,
  { nowMs }: Envelope,
  { number, name }: { number: string; name: string },
) {
  const speech = plain(`${title}${/[.?]$/u.test(title) ? '' : '.'} ${text}`);
  return {
    type: 'phone.message',
    timestamp: new Date(nowMs).toISOString(),
    data: {
      to: number,
      name: cleanName(name),
      step: step ?? 'none',
      text: `${speech} ${plain(lead)}${url === undefined ? '' : ` ${url}`}`,
      speech,
      ...(url === undefined ? {} : { url }),
      language,
    },
  };
}

/** Signs that would more than halve the room of a text message (3GPP TS 23.038) as those that don't. */
function plain(text: string): string {
  return text
    .replace(/[‘’]/gu, "'")
    .replace(/[“”]/gu, '"')
    .replace(/[–—]/gu, '-')
    .replace(/…/gu, '...')
    .replace(/·/gu, '-');
}

function signed(keys: readonly Buffer[], id: string, seconds: number, body: string) {
  const signatures = keys.map(
    (key) => `v1,${createHmac('sha256', key).update(`${id}.${seconds}.${body}`).digest('base64')}`,
  );
  return {
    'webhook-id': id,
    'webhook-timestamp': String(seconds),
    'webhook-signature': signatures.join(' '),
  };
}

/**
 * One POST. A redirect is not followed: only the operator says where messages go. 422 is of this number
 * alone; whatever else fails is for the operator to mend, and is tried again.
 */
async function posted(
  url: URL,
  clock: Clock,
  patienceMs: number,
  request: { body: string; headers: Record<string, string> },
): Promise<Sent> {
  const [over, answered] = [new AbortController(), new AbortController()];
  void clock.sleep(patienceMs, answered.signal).then(() => over.abort());
  try {
    const response = await fetch(url, {
      method: 'POST',
      ...request,
      redirect: 'manual',
      signal: over.signal,
    });
    await response.body?.cancel();
    if (response.ok) return { ok: true, receipt: '' };
    const why = `http-${response.status}`;
    if (response.status === 422) return { ok: false, retry: 'never', why };
    const afterMs = retryAfterMs(response.headers.get('retry-after'), clock.wallMs());
    return { ok: false, retry: 'later', why, ...(afterMs === undefined ? {} : { afterMs }) };
  } catch {
    return { ok: false, retry: 'later', why: over.signal.aborted ? 'http-slow' : 'http-lost' };
  } finally {
    answered.abort();
  }
}
