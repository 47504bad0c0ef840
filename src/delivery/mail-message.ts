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
    ...(envelope.replyTo === undefined ? {} : { replyTo: envelope.replyTo }),
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

/** How this mail is answered: on a page of the reader's own, by a mail, or through somebody in the chat. */
function answerLines(envelope: Envelope): string[] {
  const { asked, leave, replyTo, message } = envelope;
  if (asked !== undefined) return askedLines(asked, replyTo, message);
  const byMail =
    replyTo === undefined ? '' : ', or answer this mail with LEAVE alone in the first line';
  const foot =
    leave === undefined
      ? replyTo === undefined
        ? []
        : ['', 'To be contact no more, answer with LEAVE alone in the first line.']
      : ['', `To be contact no more, by one press${byMail}:`, leave];
  return [...ownAnswer(envelope), ...foot];
}

function askedLines(
  { url, code }: NonNullable<Envelope['asked']>,
  replyTo: string | undefined,
  message: Envelope['message'],
): string[] {
  // A contact who leaves a party that is out has said so once, and is asked back.
  const leaving = message.buttons?.length === 1;
  const words = leaving ? 'YES, LEAVE' : 'YES or NO';
  const mail =
    replyTo === undefined
      ? NO_REPLIES
      : `Or answer this mail with ${words} alone in the first line.`;
  if (url !== undefined) return ['', 'Say yes or no here, by one press:', url, mail];
  if (replyTo !== undefined) return ['', `Answer this mail with ${words} alone in the first line.`];
  return [
    '',
    `To say yes, give this code to who asks you; they type it in: ${code}`,
    `To say no, do nothing, or give it to them with a no. ${NO_REPLIES}`,
  ];
}

function ownAnswer({ message: { buttons = [], links = [] }, replyTo }: Envelope): string[] {
  const [page] = links;
  const words = buttons.flatMap((b) => WORDS_FOR[b.label] ?? []);
  const byMail = replyTo === undefined || words.length === 0 ? [] : words;
  if (page !== undefined) {
    const what =
      buttons.length === 0 ? 'How it goes, at any time' : 'Answer here, and see what is known';
    return [
      '',
      `${what}, on your own page:`,
      page.url,
      `It is yours alone; don't pass it on.${replyTo === undefined ? ` ${NO_REPLIES}` : ''}`,
      ...(byMail.length === 0 ? [] : ['Or answer this mail, alone in the first line:', ...byMail]),
    ];
  }
  if (byMail.length > 0) return ['', 'Answer this mail, alone in the first line:', ...byMail];
  if (buttons.length === 0 || replyTo !== undefined) return [];
  return [
    '',
    `${NO_REPLIES} Answer in the chat, or tell somebody who is there: they press the button for you.`,
  ];
}

/** What a button is called in a mail that is answered by a word. */
const WORDS_FOR: Readonly<Record<string, string>> = {
  "I've got it": 'OK: you have it in hand',
  'Call-out made': 'CALLED: you have called the rescue service',
  'They are fine': 'THEY ARE WELL: you have heard from them yourself',
  'The rescue service knows': 'THE RESCUE SERVICE KNOWS: you have told it that they are safe',
};

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
