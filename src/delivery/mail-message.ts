import { bare } from '../say/message.ts';
import type { Envelope } from './ports.ts';

/** One mail to one person: plain text first, with the files that go with it. */
export function mailOf(
  settings: { from: string },
  to: { address: string; name: string },
  envelope: Envelope,
) {
  const { message, nonce, nowMs, trip, urgency = 5 } = envelope;
  const text = [...message.lines.map(bare), ...answerLines(envelope), ''].join('\n');
  const { calendar, files = [] } = message;
  const isCalendar = (mime: string) => mime.startsWith('text/calendar');
  const method = calendar === undefined ? '' : `; method=${calendar.method}`;
  const domain = domainOf(settings.from);
  // One root that is never sent itself holds all mails of a trip together (RFC 5322, 3.6.4).
  const root = `<trip.${trip.replace(/[^a-z0-9]/giu, '')}@${domain}>`;
  return {
    from: settings.from,
    to: { name: to.name, address: to.address },
    subject: bare(message.subject),
    text,
    date: new Date(nowMs),
    // The same on every attempt, so that a mail server that took it before can drop the second.
    messageId: `<${nonce}@${domain}>`,
    inReplyTo: root,
    references: [root],
    // RFC 3834, 5 and RFC 4021, 2.1.55 and 2.1.54.
    headers: {
      'Auto-Submitted': 'auto-generated',
      ...leaveHeaders(envelope.leave ?? envelope.asked?.url),
      ...(urgency <= 1 ? URGENT : {}),
    },
    // Calendar files go as one part of their own, which mail programs offer to open (RFC 6047, 2.4).
    attachments: files.map((f) => ({
      filename: f.name,
      content: Buffer.from(f.bytes),
      contentType: isCalendar(f.mime) ? `text/calendar; charset=utf-8${method}` : f.mime,
    })),
    disableFileAccess: true,
    disableUrlAccess: true,
  };
}

/** Alert and distress; what comes before asks for nobody's sleep. */
const URGENT = { Importance: 'high', Priority: 'urgent' };

const NO_REPLIES = 'A mail to this address is not read.';

/** How this mail is answered: on a page of the reader's own, or through somebody in the chat. */
function answerLines(envelope: Envelope): string[] {
  const { asked, leave } = envelope;
  if (asked !== undefined) return askedLines(asked);
  const foot = leave === undefined ? [] : ['', 'To be contact no more, by one press:', leave];
  return [...ownAnswer(envelope.message), ...foot];
}

function askedLines({ url, code }: NonNullable<Envelope['asked']>): string[] {
  return url === undefined
    ? [
        '',
        `To say yes, give this code to who asks you; they type it in: ${code}`,
        `To say no, do nothing, or give it to them with a no. ${NO_REPLIES}`,
      ]
    : ['', 'Say yes or no here, by one press:', url, NO_REPLIES];
}

function ownAnswer({ buttons = [], links = [] }: Envelope['message']): string[] {
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

/** RFC 2369, 3.2, and RFC 8058, 3.1: one press in the mail program. A page without TLS takes no part in it. */
function leaveHeaders(url: string | undefined): Record<string, string> {
  if (url === undefined) return {};
  const oneClick = url.startsWith('https:')
    ? { 'List-Unsubscribe-Post': 'List-Unsubscribe=One-Click' }
    : {};
  return { 'List-Unsubscribe': `<${url}>`, ...oneClick };
}

function domainOf(from: string): string {
  return /@([^\s@>]+)>?\s*$/u.exec(from)?.[1] ?? 'tagline.invalid';
}
