/** What letters a picture can show, and how wide they are. The font is read with the first picture that is drawn. */
import { advancesOf } from './advances.ts';
import { FONT_FILES } from './font.ts';

/** The last of the marks that `canDraw` knows, the ellipsis. */
const LAST = 0x2026;
const REGULAR = advancesOf(FONT_FILES.regular, LAST);
const BOLD = advancesOf(FONT_FILES.bold, LAST);

/** Advance of one character in em; a letter that the font lacks is as wide as the box for it. */
function advance(char: string, bold: boolean): number {
  const widths = bold ? BOLD : REGULAR;
  return widths.get(char) ?? widths.get('') ?? 0;
}

/** Width of a line of text at a font size, in the size's unit. Kerning is left out, so it is a shade too wide. */
export function textWidth(text: string, size: number, bold = false): number {
  let width = 0;
  for (const char of text) width += advance(char, bold);
  return width * size;
}

/** Basic Latin, Latin-1 and Latin Extended-A but for eleven of its letters, and a few marks. */
const HAS =
  /[\u0020-\u007e\u00a1-\u00ac\u00ae-\u0131\u0134-\u0137\u0139-\u013e\u0141-\u0148\u014c-\u0165\u0168-\u017e–—·…’]/u;

/** Whether the font has every letter; a name in another script is left out rather than drawn as boxes. */
export function canDraw(text: string): boolean {
  return [...text].every((char) => HAS.test(char));
}

/**
 * Words from people, fit to be drawn: one line, no controls and direction marks, and a question mark
 * for a letter that the font lacks.
 */
export function drawable(text: string): string {
  const plain = text
    .normalize('NFC')
    .replace(/[\s\p{Cc}\u2028\u2029]+/gu, ' ')
    .trim();
  return [...plain.replace(/[\p{Cf}\p{Cs}]/gu, '')].map((c) => (HAS.test(c) ? c : '?')).join('');
}

/** Cuts with an ellipsis to a width. */
export function fitText(text: string, maxWidth: number, size: number, bold = false): string {
  if (textWidth(text, size, bold) <= maxWidth) return text;
  const chars = [...text];
  while (chars.length > 1) {
    chars.pop();
    const short = `${chars.join('').trimEnd()}…`;
    if (textWidth(short, size, bold) <= maxWidth) return short;
  }
  return '…';
}

/** Breaks at spaces into lines of at most `maxWidth`; the last of `maxLines` is cut. */
export function wrapText(text: string, maxWidth: number, size: number, maxLines: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && textWidth(longer, size) > maxWidth) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  lines.push(line);
  if (lines.length <= maxLines) return lines.map((l) => fitText(l, maxWidth, size));
  const rest = lines.slice(maxLines - 1).join(' ');
  return [...lines.slice(0, maxLines - 1), fitText(rest, maxWidth, size)];
}
