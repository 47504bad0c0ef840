import { IntlMessageFormat } from 'intl-messageformat';
import { bare } from '../message.ts';
import type { Line, Piece } from '../reply.ts';
import { de } from './de/index.ts';
import { en } from './en/index.ts';
import type { ArgsOf, Value } from './icu.ts';
import type { Language } from './languages.ts';

/** The name of a sentence. English has them all; a language that lacks one doesn't compile. */
export type Key = keyof typeof en;
type Given<K extends Key> = ArgsOf<(typeof en)[K]>;
type Args<K extends Key> = keyof Given<K> extends never ? [] : [args: Given<K>];

/** Every sentence that is said to a contact, by language. Written as ICU messages. */
export const CATALOGUE: Readonly<Record<Language, Readonly<Record<Key, string>>>> = { en, de };

/** Speaks to somebody in their language. */
export interface Words {
  readonly language: Language;
  /** A sentence as a line; instants and people in it stay what they are. */
  say<K extends Key>(key: K, ...args: Args<K>): Line;
  /** The same as bare text, where nothing else can be shown. */
  text<K extends Key>(key: K, ...args: Args<K>): string;
  /** `Mara, Jonas and Ines`; empty for nobody. */
  list(names: readonly string[]): string;
}

/** Where names are joined without a comma before the last, as all of our English does. */
const LISTS: Readonly<Record<Language, Intl.ListFormat>> = {
  en: new Intl.ListFormat('en-GB', { type: 'conjunction' }),
  de: new Intl.ListFormat('de', { type: 'conjunction' }),
};

/** The words of a language. */
export function wordsIn(language: Language): Words {
  const say = (key: Key, args: Readonly<Record<string, Value>> = {}): Line =>
    formatted(compiled(language, key), args);
  return {
    language,
    say: say as Words['say'],
    text: ((key: Key, args?: Record<string, Value>) => bare(say(key, args))) as Words['text'],
    list: (names) => LISTS[language].format(names),
  };
}

/** What is said wherever no other language is known. */
export const ENGLISH: Words = wordsIn('en');

const kept = new Map<string, IntlMessageFormat>();

function compiled(language: Language, key: Key): IntlMessageFormat {
  const text = CATALOGUE[language][key];
  const name = `${language} ${text}`;
  const known = kept.get(name);
  if (known !== undefined) return known;
  const made = new IntlMessageFormat(text, language, undefined, { ignoreTag: true });
  kept.set(name, made);
  return made;
}

function formatted(message: IntlMessageFormat, args: Readonly<Record<string, Value>>): Line {
  const values = Object.fromEntries(
    Object.entries(args).map(([name, v]) => [name, typeof v === 'object' ? { pieces: v } : v]),
  );
  const pieces = message
    .formatToParts<{ pieces: Line | Piece }>(values)
    .flatMap(({ value }): readonly Piece[] => {
      if (typeof value === 'string') return [value];
      const { pieces } = value;
      return Array.isArray(pieces) ? pieces : [pieces as Piece];
    });
  return joined(pieces);
}

/** Texts that stand side by side are one; nothing but text is a plain line. */
function joined(pieces: readonly Piece[]): Line {
  const whole: Piece[] = [];
  for (const piece of pieces) {
    const last = whole.at(-1);
    if (typeof piece === 'string' && typeof last === 'string')
      whole[whole.length - 1] = last + piece;
    else if (piece !== '') whole.push(piece);
  }
  const [first] = whole;
  return whole.length === 0 ? '' : whole.length === 1 && typeof first === 'string' ? first : whole;
}
