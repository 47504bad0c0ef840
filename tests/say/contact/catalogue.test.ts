import { IntlMessageFormat } from 'intl-messageformat';
import { describe, expect, it } from 'vitest';
import { CODES, LANGUAGES } from '../../../src/say/contact/languages.ts';
import { CATALOGUE, type Key } from '../../../src/say/contact/words.ts';

/** Of the elements of a message, what is looked at here. */
interface Element {
  type: number;
  value: string;
  options: Record<string, { value: Element[] }>;
}

/** The kinds of elements, as @formatjs/icu-messageformat-parser numbers them (its `TYPE`). */
const [LITERAL, ARGUMENT, SELECT, PLURAL, POUND] = [0, 1, 5, 6, 7];

interface Used {
  args: string[];
  /** Choices of a word: `how: other radio`. */
  choices: string[];
  /** Forms of a number. */
  forms: string[][];
  strange: number[];
  text: string;
}

/** Everything a message is made of, by the parser of FormatJS. */
function used(text: string, language: string): Used {
  const found: Used = { args: [], choices: [], forms: [], strange: [], text: '' };
  const walk = (elements: readonly Element[]) => {
    for (const element of elements) {
      if (element.type === LITERAL) found.text += element.value;
      else if (element.type === ARGUMENT) found.args.push(element.value);
      else if (element.type === SELECT || element.type === PLURAL) {
        found.args.push(element.value);
        const keys = Object.keys(element.options).sort();
        if (element.type === PLURAL) found.forms.push(keys);
        else found.choices.push(`${element.value}: ${keys.join(' ')}`);
        for (const { value } of Object.values(element.options)) walk(value);
      } else if (element.type !== POUND) found.strange.push(element.type);
    }
  };
  // No tags: their braces are the catalogue's own, and < is never written.
  const message = new IntlMessageFormat(text, language, undefined, { ignoreTag: true });
  walk(message.getAst() as unknown as Element[]);
  return { ...found, args: [...new Set(found.args)].sort(), choices: found.choices.sort() };
}

const KEYS = Object.keys(CATALOGUE.en) as Key[];

describe.each(CODES)('the sentences in %s', (language) => {
  const all = CATALOGUE[language];

  it('are those of English, and each parses', () => {
    expect(Object.keys(all).sort()).toEqual([...KEYS].sort());
    const strange = KEYS.filter((key) => used(all[key], language).strange.length > 0);
    expect(strange).toEqual([]);
  });

  it('use the arguments and the choices that English uses', () => {
    const parts = (key: Key, of: string, l: string) => {
      const { args, choices } = used(of, l);
      return { key, args, choices };
    };
    expect(KEYS.map((key) => parts(key, all[key], language))).toEqual(
      KEYS.map((key) => parts(key, CATALOGUE.en[key], 'en')),
    );
  });

  it('have every form of number that CLDR knows in that language, and exact numbers beside them', () => {
    const { pluralCategories } = new Intl.PluralRules(language).resolvedOptions();
    const wrong = KEYS.filter((key) =>
      used(all[key], language).forms.some((forms) => {
        const named = forms.filter((form) => !/^=\d+$/u.test(form));
        return named.join() !== [...pluralCategories].sort().join();
      }),
    );
    expect(wrong).toEqual([]);
  });

  it('are calm, one line each, and marked up by nothing', () => {
    expect(KEYS.filter((key) => /[!\n<>*_]/u.test(used(all[key], language).text))).toEqual([]);
    expect(KEYS.filter((key) => all[key].trim() === '')).toEqual([]);
  });

  it('put what people typed into quotation marks of that language', () => {
    const typed = ['what', 'where', 'needs', 'words', 'said', 'about', 'place', 'vehicle'] as const;
    const [open, close] = language === 'de' ? ['„', '“'] : ['“', '”'];
    const quoted = new RegExp(`${open}\\{(?:${typed.join('|')})\\}${close}`, 'u');
    const keys: Key[] = [
      'trouble.told',
      'trouble.where',
      'trouble.needs',
      'trouble.update',
      'ended.troubleOf',
      'called.words',
      'heard.words',
      'heard.waitingWords',
      'expected.about',
      'plan.promiseAbout',
      'vehicle.known',
      'heard.at',
    ];
    expect(keys.filter((key) => !quoted.test(all[key]))).toEqual([]);
  });

  it('have subjects that a lock screen shows whole, but for the names in them', () => {
    const subjects = KEYS.filter((key) => /\.subject/u.test(key));
    expect(subjects.length).toBeGreaterThan(15);
    expect(subjects.filter((key) => used(all[key], language).text.length > 60)).toEqual([]);
  });
});

it('only English counts as read by a native speaker, and the others say so in their own words', () => {
  const unread = CODES.filter((code) => LANGUAGES[code].unreviewed !== undefined);
  expect(unread).toEqual(CODES.filter((code) => code !== 'en'));
});
