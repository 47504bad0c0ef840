import { Transform } from 'node:stream';
import { createTransport, type Transporter } from 'nodemailer';
import type { Clock } from '../time/clock.ts';
import { mailOf } from './mail-message.ts';
import type { Sent, Ways } from './ports.ts';

export interface MailSettings {
  host: string;
  port: number;
  /** TLS from the first byte (port 465); otherwise STARTTLS. */
  implicitTls: boolean;
  /**
   * `required` refuses to send in the clear (the default anywhere but on this machine); `whenOffered`
   * takes it where the server has it.
   */
  startTls: 'required' | 'whenOffered';
  user?: string;
  password?: string;
  /** `tagline <watch@example.org>` or a bare address. */
  from: string;
  /** Certificates to trust besides the system's, PEM. */
  ca?: string;
  /** No step of a conversation may take longer than this; 10 s unless set. The answer to the text may. */
  stepMs?: number;
  /** So long after the text whoever waits hears that it isn't answered yet; 20 s unless set. */
  patienceMs?: number;
}

export interface Mail extends Required<Pick<Ways, 'email'>> {
  /** Whether the server answers and takes our credentials; a reason otherwise. */
  check(): Promise<string | undefined>;
  close(): void;
}

/** Mails that are remembered as on their way or taken. */
const REMEMBERED = 10_000;
/**
 * So long a server may take to answer the end of the text. Whoever gives up sooner and sends again makes
 * copies (RFC 5321, 4.5.3.2.6: 10 minutes).
 */
const ANSWER_MS = 10 * 60_000;

/** One mail on its way. */
interface Conversation {
  /** What came of it in the end. */
  sent: Promise<Sent>;
  /** Resolves once the server has the whole text, whatever it answers. */
  handedOver: Promise<void>;
}

/**
 * E-mail over SMTP, plain text first, so that it reads on anything. A server that has the text and does not
 * answer holds nobody up: whoever asks is told so after a while, and the conversation goes on beside it.
 */
export function createMail(settings: MailSettings, clock: Clock): Mail {
  const { stepMs = 10_000, patienceMs = 20_000 } = settings;
  const asking = transportOf(settings, 2 * stepMs);
  const known = new Map<string, Conversation>();
  const closing = new AbortController();
  const begin = (key: string, mail: ReturnType<typeof mailOf>) => {
    const talk = converse(settings, mail, closing.signal, clock);
    known.set(key, talk);
    for (const oldest of known.keys()) {
      if (known.size <= REMEMBERED) break;
      known.delete(oldest);
    }
    void talk.sent.then((sent) => {
      if (!sent.ok) known.delete(key);
    });
    return talk;
  };
  return {
    // One that is on its way, or was taken, is not sent again: whoever asks gets what the first one gets.
    email(to, envelope) {
      const key = `${envelope.nonce} ${to.address}`;
      const before = known.get(key);
      if (before !== undefined) return answerOf(before, patienceMs / 20, clock);
      return answerOf(begin(key, mailOf(settings, to, envelope)), patienceMs, clock);
    },
    async check() {
      try {
        await asking.verify();
        return undefined;
      } catch (error) {
        const verdict = verdictOf(error);
        return verdict.ok ? undefined : verdict.why;
      }
    },
    close: () => closing.abort(),
  };
}

/** Sends one mail by a connection of its own. */
function converse(
  settings: MailSettings,
  mail: ReturnType<typeof mailOf>,
  closing: AbortSignal,
  clock: Clock,
): Conversation {
  const [tooLong, inTime] = [new AbortController(), new AbortController()];
  // Shorter than the watch waits for an attempt, so that the next one begins anew.
  void clock.sleep(4 * (settings.stepMs ?? 10_000), inTime.signal).then(() => {
    if (!inTime.signal.aborted) tooLong.abort();
  });
  const transport = transportOf(settings, ANSWER_MS);
  const handedOver = new Promise<void>((resolve) => {
    transport.use('stream', ({ message }, done) => {
      message.transform(() => passing(resolve));
      done();
    });
  }).then(() => inTime.abort());
  const signal = AbortSignal.any([closing, tooLong.signal]);
  const sent = transport
    .sendMail({ ...mail, signal })
    .then(({ messageId }): Sent => ({ ok: true, receipt: messageId }), verdictOf)
    .finally(() => inTime.abort());
  return { sent, handedOver };
}

/** Hands everything on, and calls `ended` after the last of it. */
function passing(ended: () => void): Transform {
  return new Transform({
    transform: (chunk, _encoding, done) => done(null, chunk),
    flush(done) {
      ended();
      done();
    },
  });
}

/** What came of it; or, so long after the server has had the text, that it hasn't answered yet. */
async function answerOf(
  { sent, handedOver }: Conversation,
  patienceMs: number,
  clock: Clock,
): Promise<Sent> {
  const answered = new AbortController();
  const unanswered = handedOver
    .then(() => clock.sleep(patienceMs, answered.signal))
    .then((): Sent => ({ ok: false, retry: 'later', why: 'mail-unanswered', inTheEnd: sent }));
  return Promise.race([sent, unanswered]).finally(() => answered.abort());
}

function transportOf(settings: MailSettings, silenceMs: number): Transporter {
  const { host, port, user, password, stepMs = 10_000 } = settings;
  return createTransport({
    host,
    port,
    secure: settings.implicitTls,
    requireTLS: !settings.implicitTls && settings.startTls === 'required',
    connectionTimeout: stepMs,
    greetingTimeout: stepMs,
    socketTimeout: silenceMs,
    dnsTimeout: stepMs,
    // A body is our own text: nothing in it may name a file or an address to be fetched.
    disableFileAccess: true,
    disableUrlAccess: true,
    ...(user === undefined ? {} : { auth: { user, pass: password ?? '' } }),
    ...(settings.ca === undefined ? {} : { tls: { ca: settings.ca } }),
  });
}

/** Nodemailer's codes for what may pass; its other codes are refusals or our own settings. */
const PASSING = new Set([
  // Ours: a step took too long.
  'EABORT',
  'ECONNECTION',
  'ETIMEDOUT',
  'ESOCKET',
  'EDNS',
  'ECONNREFUSED',
  'EPROTOCOL',
]);

/**
 * What a failure means. 4yz replies are transient and 5yz permanent (RFC 5321, 4.2.1): greylisting
 * answers 451 and wants a later try, an unknown mailbox 550 and wants another way. Failing to log in
 * is ours to mend and concerns no single address, so it is tried again.
 */
function verdictOf(error: unknown): Sent {
  const { code, responseCode } = error as { code?: string; responseCode?: number };
  if (code === 'EAUTH' || code === 'ENOAUTH')
    return { ok: false, retry: 'later', why: 'mail-login' };
  if (code === 'ETLS') return { ok: false, retry: 'later', why: 'mail-tls' };
  if (responseCode !== undefined) {
    const why = `smtp-${responseCode}`;
    return responseCode >= 500
      ? { ok: false, retry: 'never', why }
      : { ok: false, retry: 'later', why };
  }
  const why = code === undefined ? 'mail-fault' : `mail-${code.toLowerCase()}`;
  if (code === undefined || PASSING.has(code)) return { ok: false, retry: 'later', why };
  return { ok: false, retry: code === 'EENVELOPE' ? 'never' : 'later', why };
}
