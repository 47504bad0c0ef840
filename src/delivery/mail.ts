import { createTransport, type Transporter } from 'nodemailer';
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
  /** No step of a conversation may take longer than this; 10 s unless set. */
  stepMs?: number;
}

export interface Mail extends Required<Pick<Ways, 'email'>> {
  /** Whether the server answers and takes our credentials; a reason otherwise. */
  check(): Promise<string | undefined>;
  close(): void;
}

/** Mails that are remembered as on their way or taken. */
const REMEMBERED = 10_000;

/** E-mail over SMTP, plain text first, so that it reads on anything. */
export function createMail(settings: MailSettings): Mail {
  const transport = transportOf(settings);
  const known = new Map<string, Promise<Sent>>();
  const send = async (mail: ReturnType<typeof mailOf>): Promise<Sent> => {
    try {
      return { ok: true, receipt: (await transport.sendMail(mail)).messageId };
    } catch (error) {
      return verdictOf(error);
    }
  };
  return {
    // One that is on its way, or was taken, is not sent again: whoever asks gets what the first one gets.
    async email(to, envelope) {
      const key = `${envelope.nonce} ${to.address}`;
      const sending = known.get(key) ?? send(mailOf(settings, to, envelope));
      known.set(key, sending);
      for (const oldest of known.keys()) {
        if (known.size <= REMEMBERED) break;
        known.delete(oldest);
      }
      const sent = await sending;
      if (!sent.ok) known.delete(key);
      return sent;
    },
    async check() {
      try {
        await transport.verify();
        return undefined;
      } catch (error) {
        const verdict = verdictOf(error);
        return verdict.ok ? undefined : verdict.why;
      }
    },
    close: () => transport.close(),
  };
}

function transportOf(settings: MailSettings): Transporter {
  const { host, port, user, password, stepMs = 10_000 } = settings;
  return createTransport({
    host,
    port,
    secure: settings.implicitTls,
    requireTLS: !settings.implicitTls && settings.startTls === 'required',
    connectionTimeout: stepMs,
    greetingTimeout: stepMs,
    socketTimeout: 2 * stepMs,
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
