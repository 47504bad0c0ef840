import { CODES, LANGUAGES } from '../say/contact/languages.ts';
import { type Words, wordsIn } from '../say/contact/words.ts';
import { bare } from '../say/message.ts';
import type { Button } from '../say/reply.ts';
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
      // RFC 3282, 2.
      'Content-Language': envelope.language ?? 'en',
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

/** How this mail is answered: on a page of the reader's own, by a mail, or through somebody in the chat. */
function answerLines(envelope: Envelope): string[] {
  const { asked, leave, replyTo, message } = envelope;
  const w = wordsIn(envelope.language ?? 'en');
  if (asked !== undefined) return askedLines(w, asked, replyTo, message);
  const word = w.text('word.leave');
  const foot =
    leave === undefined
      ? replyTo === undefined
        ? []
        : ['', w.text('mail.leaveAnswer', { word })]
      : [
          '',
          replyTo === undefined ? w.text('mail.leavePress') : w.text('mail.leavePressOr', { word }),
          leave,
        ];
  return [...ownAnswer(w, envelope), ...foot];
}

function askedLines(
  w: Words,
  { url, code }: NonNullable<Envelope['asked']>,
  replyTo: string | undefined,
  message: Envelope['message'],
): string[] {
  // A contact who leaves a party that is out has said so once, and is asked back.
  const leaving = message.buttons?.length === 1;
  const word = w.text('word.leaveSure');
  const both = { yes: w.text('word.yes'), no: w.text('word.no') };
  const others = leaving ? [] : otherLanguages(w, url, replyTo);
  if (url !== undefined) {
    const byMail = leaving
      ? w.text('mail.leavingOrAnswer', { word })
      : w.text('mail.askedOrAnswer', both);
    const last = replyTo === undefined ? w.text('mail.noReplies') : byMail;
    return ['', w.text('mail.askedPress'), url, last, ...others];
  }
  if (replyTo !== undefined) {
    const byMail = leaving
      ? w.text('mail.leavingAnswer', { word })
      : w.text('mail.askedAnswer', both);
    return ['', byMail, ...others];
  }
  const no = `${w.text('mail.askedCodeNo')} ${w.text('mail.noReplies')}`;
  return ['', w.text('mail.askedCode', { code }), no];
}

/** A line in each other language for who doesn't read this one, and that it is unread by who speaks it. */
function otherLanguages(w: Words, url: string | undefined, replyTo: string | undefined): string[] {
  if (url === undefined && replyTo === undefined) return [];
  const lines = CODES.filter((code) => code !== w.language).map((code) => {
    const other = wordsIn(code);
    const way =
      url === undefined
        ? other.text('mail.languageAnswer')
        : other.text('mail.language', { url: `${url}?l=${code}` });
    const note = LANGUAGES[code].unreviewed;
    return note === undefined ? way : `${way} (${note})`;
  });
  return ['', ...lines];
}

function ownAnswer(
  w: Words,
  { message: { buttons = [], links = [] }, replyTo }: Envelope,
): string[] {
  const [page] = links;
  const byMail = replyTo === undefined ? [] : buttons.flatMap((b) => wordFor(w, b) ?? []);
  if (page !== undefined) {
    const yours = w.text('mail.yours');
    return [
      '',
      w.text(buttons.length === 0 ? 'mail.pageLook' : 'mail.pageAnswer'),
      page.url,
      replyTo === undefined ? `${yours} ${w.text('mail.noReplies')}` : yours,
      ...(byMail.length === 0 ? [] : [w.text('mail.orAnswer'), ...byMail]),
    ];
  }
  if (byMail.length > 0) return ['', w.text('mail.answer'), ...byMail];
  if (buttons.length === 0 || replyTo !== undefined) return [];
  return ['', `${w.text('mail.noReplies')} ${w.text('mail.inChat')}`];
}

/** The word that stands for a button in a mail, and what it means; undefined where a mail can't press it. */
function wordFor(w: Words, { press: { path, options } }: Button): string | undefined {
  const how = (options as Record<string, unknown>).how;
  if (path === 'overdue ack') return w.text('word.ackMeans', { word: w.text('word.ack') });
  if (path !== 'overdue resolve') return undefined;
  if (how === 'called') return w.text('word.calledMeans', { word: w.text('word.called') });
  return how === 'fine'
    ? w.text('word.fineMeans', { word: w.text('word.fine') })
    : w.text('word.stoodDownMeans', { word: w.text('word.stoodDown') });
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
