import type { FileOut, Line, Reply } from './reply.ts';

/** What is told to somebody who didn't ask: an answer with a subject, for a mail. */
export interface Message extends Pick<Reply, 'lines' | 'buttons' | 'files' | 'pings' | 'links'> {
  /** At most about 60 characters. */
  subject: string;
  /** What its reader does now, in a sentence or two: first where there is room for little. Mostly one of its lines. */
  now?: Line | undefined;
}

/** C0 and C1 controls, line and paragraph separators, and direction marks, which would garble a mail. */
const CONTROL =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: taking them out is the purpose.
  /[\u0000-\u001f\u007f-\u009f\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069]+/gu;

/** The bare words of a line, on one line. */
export function bare(line: Line): string {
  const pieces = typeof line === 'string' ? [line] : line;
  return pieces
    .map((p) => (typeof p === 'string' ? p : 'code' in p ? p.code : p.text))
    .join('')
    .replace(CONTROL, ' ');
}

/** A file of UTF-8 text. */
export function textFile(name: string, mime: string, text: string): FileOut {
  return { name, mime, bytes: new TextEncoder().encode(text) };
}

/** `Harrow Tower` → `harrow-tower`, `Pål & Åse` → `pal-ase`: fit for a file's name. */
export function fileName(name: string): string {
  const plain = name
    .normalize('NFKD')
    // Accents of Latin, Greek and Cyrillic letters; the marks of other scripts are letters of their own.
    .replace(/[\u0300-\u036f]/gu, '')
    .normalize('NFC')
    .replace(/ø/giu, 'o')
    .replace(/[^\p{L}\p{N}\p{M}]+/gu, '-')
    .replace(/^-+|-+$/gu, '')
    .toLowerCase();
  return plain.slice(0, 40) || 'trip';
}
