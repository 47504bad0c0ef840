import { createHash } from 'node:crypto';
import PostalMime, { type Address } from 'postal-mime';
import { cut } from './cut.ts';

/** One mail as far as it is read. */
export interface Incoming {
  /** Stable for the same mail, however often it is fetched. */
  id: string;
  /** Every address that it came to. */
  to: readonly string[];
  /** Where an answer to it goes; undefined where there must be none. */
  from: string | undefined;
  /** Ids of the mails that it answers (RFC 5322, 3.6.4). */
  answers: readonly string[];
  /** `replied` by a program, or a report of one (RFC 3834, RFC 3464); `generated` by one, as devices do. */
  automatic: 'no' | 'generated' | 'replied';
  /** What was written, without what was quoted. */
  text: string;
}

/** So much of a mail is read; attachments are not looked at. */
export const SOURCE_MAX = 64 * 1024;
/** Addresses and ids taken from one mail. */
const FEW = 20;

/** Reads the source of a mail (RFC 5322, RFC 2045 to 2049), or as much of it as was fetched. */
export async function readMail(source: Uint8Array): Promise<Incoming> {
  const mail = await PostalMime.parse(source.subarray(0, SOURCE_MAX), {
    maxNestingDepth: 20,
    attachmentEncoding: 'arraybuffer',
  });
  const header = (name: string) => mail.headers.find((h) => h.key === name)?.value ?? '';
  const headers = (name: string) =>
    mail.headers.filter((h) => h.key === name).map(({ value }) => value);
  const id = mail.messageId ?? '';
  return {
    id: createHash('sha256')
      .update(id === '' ? source : id)
      .digest('hex')
      .slice(0, 40),
    to: [
      ...headers('delivered-to'),
      ...headers('x-original-to'),
      ...headers('envelope-to'),
      ...[...(mail.to ?? []), ...(mail.cc ?? [])].flatMap(addressesOf),
    ]
      .map((address) => address.trim().replace(/^<|>$/gu, '').toLowerCase())
      .slice(0, FEW),
    from: (mail.replyTo ?? [])[0]?.address ?? mail.from?.address,
    answers: [...`${mail.inReplyTo ?? ''} ${mail.references ?? ''}`.matchAll(/<[^<>\s]{1,200}>/gu)]
      .map(([one]) => one)
      .slice(0, FEW),
    automatic: automaticOf(header),
    text: cut(mail.text ?? fromHtml(mail.html ?? '')),
  };
}

function addressesOf(one: Address): string[] {
  if (one.address !== undefined && one.address !== '') return [one.address];
  return (one.group ?? []).map(({ address }) => address ?? '');
}

function automaticOf(header: (name: string) => string): Incoming['automatic'] {
  const auto = header('auto-submitted').trim().toLowerCase();
  const report = /^multipart\/report/iu.test(header('content-type').trim());
  const bounce = header('return-path').trim() === '<>' || report;
  if (bounce || auto.startsWith('auto-replied') || header('x-autoreply') !== '') return 'replied';
  const bulk = /^(?:bulk|junk|list|auto_reply)$/iu.test(header('precedence').trim());
  return bulk || (auto !== '' && !auto.startsWith('no')) ? 'generated' : 'no';
}

/** The words of a mail that has no plain text; what it quotes is left out. */
function fromHtml(html: string): string {
  return html
    .replace(/<(style|script|blockquote|head)\b[\s\S]*?(?:<\/\1>|$)/giu, ' ')
    .replace(/<(?:br|\/p|\/div)\b[^>]*>/giu, '\n')
    .replace(/<[^>]*>/gu, ' ')
    .replace(/&nbsp;/giu, ' ')
    .replace(/&#39;|&rsquo;/giu, "'")
    .replace(/&amp;/giu, '&');
}
