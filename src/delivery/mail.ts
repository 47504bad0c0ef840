import { createTransport, type Transporter } from 'nodemailer';
import { bare } from '../say/message.ts';
import type { Envelope, Sent, Ways } from './ports.ts';

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

/** E-mail over SMTP, plain text first, so that it reads on anything. */
export function createMail(settings: MailSettings): Mail {
  const transport = transportOf(settings);
  return {
    async email(to, envelope) {
      try {
        const sent = await transport.sendMail(mailOf(settings, to, envelope));
        return { ok: true, receipt: sent.messageId };
      } catch (error) {
        return verdictOf(error);
      }
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

function mailOf(
  settings: MailSettings,
  to: { address: string; name: string },
  { message, nonce, nowMs }: Envelope,
) {
  const text = [...message.lines.map(bare), ...answerLines(message), ''].join('\n');
  // Calendar files go as their own part, which mail programs offer to open (RFC 6047, 2.4).
  const files = (message.files ?? []).filter((f) => !f.mime.startsWith('text/calendar'));
  const { calendar } = message;
  return {
    from: settings.from,
    to: { name: to.name, address: to.address },
    subject: bare(message.subject),
    text,
    date: new Date(nowMs),
    // The same on every attempt, so that a mail server that took it before can drop the second.
    messageId: `<${nonce}@${domainOf(settings.from)}>`,
    headers: { 'Auto-Submitted': 'auto-generated' },
    attachments: files.map((f) => ({
      filename: f.name,
      content: Buffer.from(f.bytes),
      contentType: f.mime,
    })),
    ...(calendar === undefined
      ? {}
      : {
          icalEvent: {
            method: calendar.method,
            content: calendar.text,
            filename:
              message.files?.find((f) => f.mime.startsWith('text/calendar'))?.name ?? 'times.ics',
          },
        }),
  };
}

const NO_REPLIES = 'A mail to this address is not read.';

/** How this mail is answered: on the contact's own page, or through somebody in the chat. */
function answerLines({ buttons = [], links = [] }: Envelope['message']): string[] {
  const [page] = links;
  if (page !== undefined) {
    const what =
      buttons.length === 0 ? 'How it goes, at any time' : 'Answer here, and see what is known';
    return [
      '',
      `${what}, on your own page:`,
      page.url,
      `It is yours alone; don't pass it on. ${NO_REPLIES}`,
    ];
  }
  if (buttons.length === 0) return [];
  return [
    '',
    `${NO_REPLIES} Answer in the chat, or tell somebody who is there: they press the button for you.`,
  ];
}

function domainOf(from: string): string {
  return /@([^\s@>]+)>?\s*$/u.exec(from)?.[1] ?? 'tagline.invalid';
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
