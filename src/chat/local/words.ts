/** One word of a typed line: bare, or `name:value`; a value with spaces stands in quotes. */
export interface Word {
  name?: string;
  value: string;
  /** Where it begins in the line. */
  start: number;
}

export type Words = { ok: true; words: Word[] } | { ok: false; problem: string };

const NAME = /([a-z][a-z0-9_-]*):(?!\/\/)/uy;
const QUOTED = /"((?:[^"\\]|\\.)*)"(?=\s|$)/uy;
const BARE = /[^\s"][^\s]*|(?=\s|$)/uy;

/** Splits a line into words. In quotes, `\"` is a quote, `\\` a backslash and `\n` a new line. */
export function splitWords(text: string): Words {
  const words: Word[] = [];
  let at = 0;
  const take = (pattern: RegExp): RegExpExecArray | null => {
    pattern.lastIndex = at;
    const match = pattern.exec(text);
    if (match !== null) at = pattern.lastIndex;
    return match;
  };
  for (;;) {
    at += /^\s*/u.exec(text.slice(at))?.[0].length ?? 0;
    if (at >= text.length) return { ok: true, words };
    const start = at;
    const name = take(NAME)?.[1];
    const quoted = take(QUOTED);
    const value = quoted === null ? take(BARE)?.[0] : unescapeText(quoted[1] ?? '');
    if (value === undefined) {
      return {
        ok: false,
        problem: `the quotes that begin at ${text.slice(at, at + 12)} don't end`,
      };
    }
    words.push({ value, start, ...(name === undefined ? {} : { name }) });
  }
}

/** The line without a comment: a `#` at its start or after a space, outside quotes. */
export function withoutComment(line: string): string {
  let quoted = false;
  for (let i = 0; i < line.length; i += 1) {
    const sign = line[i];
    if (quoted && sign === '\\') i += 1;
    else if (sign === '"') quoted = !quoted;
    else if (sign === '#' && !quoted && (i === 0 || /\s/u.test(line[i - 1] ?? ''))) {
      return line.slice(0, i);
    }
  }
  return line;
}

/** A value as it has to be typed. */
export function quoteValue(value: string): string {
  if (/^[^\s"#]+$/u.test(value)) return value;
  return `"${value.replace(/[\\"]/gu, '\\$&').replace(/\n/gu, '\\n')}"`;
}

function unescapeText(text: string): string {
  return text.replace(/\\(.)/gu, (_, sign: string) => (sign === 'n' ? '\n' : sign));
}
