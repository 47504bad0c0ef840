import { oneLine } from '../plain.ts';

/**
 * Makes any text show as it was typed: no formatting, no mention, no masked or plain link, no
 * custom emoji, no timestamp. Discord shows the sign after a backslash as it is, for every sign that
 * isn't a letter or a digit (from memory).
 */
export function escapeText(text: string): string {
  return (
    oneLine(text)
      .replace(/[\\*_~`|<>[\]@]/gu, '\\$&')
      // A bare address would become a link nobody chose, even one put together from two names.
      .replace(/:(?=\/\/)/gu, '\\:')
      .replace(/^(?=\/\/)/u, '\\')
  );
}

/** Headings, lists and small print are read at the start of a line only. */
export function escapeLineStart(line: string): string {
  return line
    .replace(/^(\s*)(#{1,3}|-#|-|\+)(?=\s)/u, '$1\\$2')
    .replace(/^(\s*\d+)\.(?=\s)/u, '$1\\.');
}

/** Inline code. A backtick can't be escaped inside it, so the fence grows or the backtick goes. */
export function inlineCode(text: string): string {
  const code = oneLine(text);
  if (!code.includes('`')) return `\`${code}\``;
  if (!code.includes('``')) return `\`\` ${code} \`\``;
  return `\`${code.replace(/`/gu, "'")}\``;
}

/** A line inside a code block; three backticks would end the block. */
export function blockLine(line: string): string {
  return line.replace(/`/gu, "'");
}
