import { parseHTML } from 'linkedom';
import { expect, it } from 'vitest';
import { CATALOGUE, type Key } from '../../../src/say/contact/words.ts';
import { byMail, byPage, type Read } from './play.ts';

const LETTERS = /[\p{L}’']+/gu;
/** Names of the scenario and what stands for itself in any language. */
const NAMES = ['harrow', 'tower', 'lantern', 'gorge', 'oslo', 'europe', 'do', 'min'];

const wordsOf = (text: string) =>
  (text.toLowerCase().match(LETTERS) ?? []).filter((t) => t.length > 1);
const vocabulary = (language: 'en' | 'de') =>
  new Set(
    (Object.keys(CATALOGUE.en) as Key[]).flatMap((key) =>
      // Without the names of arguments and choices.
      wordsOf(
        CATALOGUE[language][key].replace(/\{\w+, (?:plural|select),|\w+ (?=\{)|\{\w+\}/gu, ' '),
      ),
    ),
  );
/** Words that are English and not German: where one is left, a sentence didn't come from the catalogue. */
const ENGLISH_ONLY = (() => {
  const german = vocabulary('de');
  const more = [
    'the',
    'is',
    'are',
    'was',
    'you',
    'your',
    'not',
    'of',
    'with',
    'they',
    'and',
    'done',
  ];
  return new Set(
    [...vocabulary('en'), ...more].filter((t) => !german.has(t) && !NAMES.includes(t)),
  );
})();

/** What a person would read: not addresses, not what somebody typed, not what says of itself that it is English. */
function seen(text: string): string {
  let shown = text;
  if (/<html/u.test(text)) {
    const { document } = parseHTML(text);
    for (const own of document.querySelectorAll('[lang="en"], style, head title + *')) own.remove();
    shown = document.documentElement?.textContent ?? '';
  }
  return shown
    .replace(/„[^“]*“/gu, ' ')
    .replace(/https?:\/\/\S+|\S+@\S+/gu, ' ')
    .replace(/^In English:.*$/gmu, ' ');
}

const leftOver = (read: Read) =>
  read.flatMap(({ what, text }) => {
    const found = wordsOf(seen(text)).filter((t) => ENGLISH_ONLY.has(t));
    return found.length === 0 ? [] : [`${what}: ${[...new Set(found)].join(' ')}`];
  });

const MAIL_DE = {
  language: 'DEUTSCH',
  yes: 'JA',
  strange: 'Was soll ich tun, ich verstehe das nicht',
  hand: 'OK',
  called: 'ANGERUFEN',
  knows: 'DER RETTUNGSDIENST WEISS ES',
  leave: 'AUFHÖREN',
  leaveSure: 'JA, AUFHÖREN',
};

it('by mail alone a contact who picked German reads German from the invitation to the end', async () => {
  const read = await byMail(MAIL_DE);
  // The invitation itself goes out before anybody knows what they read; it offers German in German.
  expect(read[0]?.text).toContain('Auf Deutsch: Beantworten Sie diese Mail mit DEUTSCH');
  const rest = read.slice(1);
  const subjects = rest.map(({ text }) => text.split('\n')[0]);
  expect(subjects).toEqual(
    expect.arrayContaining([
      'Harrow Tower: Ihre Antwort',
      'Harrow Tower: Probe, niemand ist überfällig',
      'Harrow Tower: Zeiten',
      'Harrow Tower: noch keine Nachricht',
      'Harrow Tower: überfällig, bitte handeln',
      'Harrow Tower: jetzt +47 70 00 00 00 anrufen',
      'Harrow Tower: Alarm vorbei',
      'Harrow Tower: der Rettungsdienst weiß es',
      'Harrow Tower: alle sind unten',
    ]),
  );
  expect(leftOver(rest)).toEqual([]);
});

it('a yes in German is a pick of German too', async () => {
  const { language: _, ...answers } = MAIL_DE;
  const read = await byMail(answers);
  expect(leftOver(read.slice(1))).toEqual([]);
});

it('by page alone the same, and what is typed wrong is answered in German', async () => {
  const read = await byPage({
    language: 'Deutsch',
    yes: 'Ja, gern',
    hand: 'Ich kümmere mich',
    heard: 'Es geht ihnen gut',
    called: 'Rettungsdienst angerufen',
    knows: 'Der Rettungsdienst weiß es',
    sheet: 'Das Blatt öffnen',
  });
  const rest = read.slice(1);
  expect(rest.every(({ text }) => text.includes('<html lang="de">'))).toBe(true);
  expect(rest.map(({ what }) => what)).toContain('rescue service knows');
  expect(leftOver(rest)).toEqual([]);
  const call = rest.find(({ what }) => what === 'page 5')?.text ?? '';
  expect(call).toContain('Lesen Sie dies vor');
  expect(call).toContain('My name is Edda');
});

it('in English the same trip is English, and offers German', async () => {
  const read = await byPage({
    yes: 'Yes, I will',
    hand: "I've got it",
    heard: 'They are well',
    called: 'I have called the rescue service',
    knows: 'The rescue service knows',
    sheet: 'Open the sheet',
  });
  expect(read.every(({ text }) => text.includes('<html lang="en">'))).toBe(true);
});
