import { isPublicName } from '../public-name.ts';
import type { Clock } from '../time/clock.ts';
import { readTopic } from '../trip/topic.ts';
import type { Envelope, Sent, Short, Ways } from './ports.ts';
import { type Answer, posted } from './posted.ts';
import { retryAfterMs } from './retry.ts';

export interface NtfySettings {
  /** The origins of the servers that may be written to, ours first: `https://ntfy.example.org`. */
  servers: readonly string[];
  /** An access token of the first server; left out where anybody may publish there. */
  token?: string | undefined;
  /** An attempt may take this long; 15 s unless set. */
  patienceMs?: number;
  /** Connects here in place of any server: for tests. */
  instead?: string;
}

/** Messages to topics, and whether their servers take them. */
export interface Ntfy extends Required<Pick<Ways, 'ntfy'>> {
  /** Why they do not, in a word; undefined while they do, and before the first. */
  trouble(): string | undefined;
}

/**
 * Messages to a topic of an ntfy server, which phones listen to. It is published as JSON, by a POST to the server's
 * root (docs.ntfy.sh/publish, "Publish as JSON"; the fields as `PublishMessage` in ntfy's OpenAPI description 2.0.0).
 * The server reads all of it, and so does whoever knows the topic: it has no words that somebody typed but the trip's
 * name. It has no action button; a tap opens the page, and the page is answered by a form.
 */
export function createNtfy(settings: NtfySettings, clock: Clock): Ntfy {
  const { servers, token, patienceMs = 15_000, instead } = settings;
  let trouble: string | undefined;
  return {
    trouble: () => trouble,
    async ntfy({ address }, envelope) {
      const { short } = envelope;
      const at = readTopic(address);
      if (short === undefined) return { ok: false, retry: 'never', why: 'no-words' };
      if (
        at === undefined ||
        !servers.includes(at.server) ||
        !isPublicName(new URL(at.server).hostname)
      ) {
        return { ok: false, retry: 'never', why: 'ntfy-address' };
      }
      const ours = token !== undefined && at.server === servers[0];
      const answer = await posted(
        {
          url: new URL('/', instead ?? at.server),
          headers: {
            'content-type': 'application/json',
            'user-agent': 'tagline',
            // An access token, `tk_…` (docs.ntfy.sh/publish, "Access tokens").
            ...(ours ? { authorization: `Bearer ${token}` } : {}),
          },
          body: JSON.stringify({ topic: at.topic, ...messageOf(short, envelope) }),
          loopback: instead !== undefined,
        },
        clock,
        patienceMs,
      );
      const sent = verdictOf(answer, clock.wallMs());
      // A topic that nobody may publish to is no fault of the server.
      trouble = sent.ok || sent.why === 'ntfy-403' ? undefined : sent.why;
      return sent;
    },
  };
}

/**
 * A longer message is made a file, which no lock screen shows (docs.ntfy.sh/publish: 4,096 bytes; that it becomes
 * an attachment is from memory).
 */
const BYTES_MAX = 4_000;

function messageOf({ title, text, lead, url, step, rehearsal }: Short, { urgency = 5 }: Envelope) {
  const message = url === undefined ? `${text} ${lead}` : text;
  return {
    title,
    message: upTo(BYTES_MAX, message),
    priority: rehearsal === true ? 5 : priorityOf(step, urgency),
    ...(url === undefined ? {} : { click: url }),
    // Short codes that are shown as signs (docs.ntfy.sh/emojis).
    ...(step === 'distress' ? { tags: ['rotating_light'] } : {}),
    ...(step === 'alert' ? { tags: ['warning'] } : {}),
  };
}

/**
 * docs.ntfy.sh/publish, "Message priority": 5 is a really long vibration, 4 a long one, 3 the usual. None is lower: a
 * phone shows those only to who looks. A rehearsal is as loud as the distress that it rehearses.
 */
function priorityOf(step: Short['step'], urgency: number): 3 | 4 | 5 {
  if (step === 'distress' && urgency <= 1) return 5;
  return step === 'alert' ? 4 : 3;
}

function upTo(bytes: number, text: string): string {
  if (Buffer.byteLength(text, 'utf8') <= bytes) return text;
  const cut = Buffer.from(text, 'utf8')
    .subarray(0, bytes - 3)
    .toString('utf8');
  return `${cut.replace(/\uFFFD+$/u, '')}…`;
}

/** 401 and 403: the token or the topic's own rules; 429: too many (the same description, `responses`). */
function verdictOf(answer: Answer, nowMs: number): Sent {
  if ('failed' in answer) return { ok: false, retry: 'later', why: `ntfy-${answer.failed}` };
  const { status, retryAfter } = answer;
  if (status >= 200 && status < 300) return { ok: true, receipt: `ntfy-${status}` };
  const why = `ntfy-${status}`;
  if (status !== 429 && status < 500) return { ok: false, retry: 'never', why };
  const afterMs = retryAfterMs(retryAfter, nowMs);
  return { ok: false, retry: 'later', why, ...(afterMs === undefined ? {} : { afterMs }) };
}
