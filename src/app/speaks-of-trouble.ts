import { editDistance } from '../say/near.ts';
import { ENGLISH, ENGLISH_SPELT } from './trouble-words/english.ts';
import { GERMAN, GERMAN_SPELT } from './trouble-words/german.ts';
import { HARMLESS, LEFT_OUT, OF_NOBODY } from './trouble-words/harmless.ts';
import { OTHERS } from './trouble-words/others.ts';
import { asTyped, readable, wholeWords } from './trouble-words/readable.ts';

/*
 * Words that may mean that somebody is hurt or wants help. A sign of life with one of them is asked
 * back: too many questions do less harm than one call for help that reads as "all well". What is said
 * of a thing, or of nobody, is let through. Engineering choice; common practice, no source.
 */
const WORDS = wholeWords([...ENGLISH, ...GERMAN, ...OTHERS]);
const HARMLESS_TURN = wholeWords(HARMLESS, 'gu');
const NOBODY = wholeWords(OF_NOBODY, 'gu');
const BUT = wholeWords(LEFT_OUT);
const SPELT = [...ENGLISH_SPELT, ...GERMAN_SPELT];

/** The word that may mean trouble, as it was typed; undefined when there is none. */
export function speaksOfTrouble(words: string | undefined): string | undefined {
  if (words === undefined) return undefined;
  const read = readable(words);
  const left = withoutHarmless(read.text);
  const found = WORDS.exec(left) ?? misspelt(left);
  return found === undefined ? undefined : asTyped(read, found.index, found[0].length);
}

/** The same text, as long as before, with a stroke over each letter of what means no trouble. */
function withoutHarmless(text: string): string {
  const stroke = (turn: string) => '_'.repeat(turn.length);
  const left = text.replace(HARMLESS_TURN, stroke);
  return BUT.test(left) ? left : left.replace(NOBODY, stroke);
}

/** A long word with a letter or two wrong, but for the first. */
function misspelt(text: string): { index: number; 0: string } | undefined {
  for (const token of text.matchAll(/\p{L}{4,}/gu)) {
    const word = token[0];
    if (SPELT.some((right) => near(word, right))) return token;
  }
  return undefined;
}

function near(word: string, right: string): boolean {
  const wrong = right.length >= 9 ? 2 : 1;
  if (word[0] !== right[0] || Math.abs(word.length - right.length) > wrong) return false;
  return editDistance(word, right) <= wrong;
}
