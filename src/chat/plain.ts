import type { Line, Piece } from '../say/reply.ts';

/**
 * Characters that move the cursor, ring, colour or turn the reading direction: C0 and C1 controls,
 * line and paragraph separators, and the bidirectional embeddings, overrides and isolates
 * (Unicode Standard Annex #9). A name that holds them could overwrite what a terminal showed or
 * make a message read backwards.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: taking them out is the purpose.
const BREAKS = /[\u0000-\u001f\u007f-\u009f\u2028\u2029]+/gu;
const DIRECTION = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu;
// CSI and OSC sequences are taken out whole, so that no "[31m" is left standing in a name
// (ECMA-48, sections 5.4 and 5.6).
const SEQUENCES =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: taking them out is the purpose.
  /(?:\u001b\[|\u009b)[\u0030-\u003f]*[\u0020-\u002f]*[\u0040-\u007e]|(?:\u001b\]|\u009d)[^\u0007\u001b\u009c]*(?:\u0007|\u001b\\|\u009c)?/gu;

/** One line of harmless text: escape sequences gone, line breaks become a space. */
export function oneLine(text: string): string {
  return text
    .replace(/\p{Surrogate}/gu, '\ufffd')
    .replace(SEQUENCES, '')
    .replace(BREAKS, ' ')
    .replace(DIRECTION, '');
}

export function piecesOf(line: Line): readonly Piece[] {
  return typeof line === 'string' ? [line] : line;
}

/** The bare text of a line, for logs, JSON and text files. */
export function plainLine(line: Line): string {
  return piecesOf(line)
    .map((piece) => {
      if (typeof piece === 'string') return oneLine(piece);
      return oneLine('code' in piece ? piece.code : piece.text);
    })
    .join('');
}

/** Cuts to `max` UTF-16 units with an ellipsis, never through a surrogate pair. */
export function cut(text: string, max: number): string {
  if (text.length <= max) return text;
  return `${text.slice(0, max - 1).replace(/[\ud800-\udbff]$/u, '')}…`;
}
