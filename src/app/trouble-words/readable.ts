/** What was typed, made easy to search: small plain letters, and where each of them stood. */
export interface Readable {
  /** Without accents, apostrophes and doubled blanks; “heeelp” is “help”. */
  text: string;
  /** Of each character of `text`, its place in `typed`. */
  at: readonly number[];
  typed: string;
}

const APOSTROPHE = /['’‘`´]/u;

/** Reads what was typed. A length stays what it was, but for what is left out. */
export function readable(words: string): Readable {
  const typed = words.normalize('NFC');
  let text = '';
  const at: number[] = [];
  for (let i = 0; i < typed.length; i += 1) {
    const letter = plainLetter(typed, i);
    if (letter === '' || (letter === ' ' && text.endsWith(' '))) continue;
    text += letter;
    at.push(i);
  }
  return withoutRuns({ text, at, typed });
}

/** The words as they were typed, of a piece of the readable text. */
export function asTyped({ at, typed }: Readable, from: number, length: number): string {
  return typed.slice(at[from] ?? 0, (at[from + length - 1] ?? typed.length) + 1);
}

/** A blank for “I'll”, so that it isn't “ill”; nothing for the apostrophe of “can't”. */
function plainLetter(typed: string, i: number): string {
  const letter = typed[i] ?? '';
  if (APOSTROPHE.test(letter)) return /^ll/iu.test(typed.slice(i + 1)) ? ' ' : '';
  if (/\s/u.test(letter)) return ' ';
  const bare = letter.normalize('NFD')[0] ?? '';
  if (bare === 'ø' || bare === 'Ø') return 'o';
  return bare.toLowerCase()[0] ?? '';
}

/** No word has the same letter three times in a row: one is kept. */
function withoutRuns({ text, at, typed }: Readable): Readable {
  const again = (i: number) =>
    /\p{L}/u.test(text[i] ?? '') &&
    text[i] === text[i - 1] &&
    (text[i] === text[i - 2] || text[i] === text[i + 1]);
  const kept = at.map((_, i) => i).filter((i) => !again(i));
  return { text: kept.map((i) => text[i]).join(''), at: kept.map((i) => at[i] ?? 0), typed };
}

/** One pattern of several, as whole words. `ü` stands for u, ue and ü, `ß` for ss and ß. */
export function wholeWords(patterns: readonly string[], flags = 'u'): RegExp {
  const body = patterns
    .join('|')
    .replaceAll('ü', 'ue?')
    .replaceAll('ö', 'oe?')
    .replaceAll('ä', 'ae?')
    .replaceAll('ß', '(?:ss|ß)');
  return new RegExp(`(?<![\\p{L}\\p{N}])(?:${body})(?![\\p{L}\\p{N}])`, flags);
}
