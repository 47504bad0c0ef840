import { speaksOfTrouble } from '../app/speaks-of-trouble.ts';
import type { Language } from '../say/contact/languages.ts';

/** What a contact's mail says. Only what can't be taken for anything else is understood. */
export type Answer =
  | { is: 'yes' | 'in hand' | 'called' | 'well' | 'stood down' }
  /** `leave`: in a word that means nothing else. */
  | { is: 'no'; leave: boolean; sure: boolean }
  | { is: 'language'; language: Language };

/** What a party's mail says. */
export type Post =
  | { is: 'done'; number: number; at?: string }
  | { is: 'well'; words?: string }
  | { is: 'down' }
  /** `callout` for who asks for help by one of its words; else it only sounds like trouble. */
  | { is: 'trouble'; what: string; callout: boolean };

const ANSWERS: readonly (readonly [RegExp, Answer])[] = [
  [/^(?:yes|yes,? i will|yes after all|ja|ja,? gern|ja,? ich helfe|doch ja)$/u, { is: 'yes' }],
  [/^(?:deutsch|german|auf deutsch)$/u, { is: 'language', language: 'de' }],
  [/^(?:english|englisch|in english)$/u, { is: 'language', language: 'en' }],
  [
    /^(?:yes,? leave|leave,? yes|leave all the same|ja,? aufhören|trotzdem aufhören)$/u,
    { is: 'no', leave: true, sure: true },
  ],
  [/^(?:leave|stop|unsubscribe|aufhören)$/u, { is: 'no', leave: true, sure: false }],
  [/^(?:no|nein|nei)$/u, { is: 'no', leave: false, sure: false }],
  [
    /^(?:ok|okay|ok,? thanks|i(?: have|['’]ve)? got it|got it|i have it(?: in hand)?|in hand|on it|ich kümmere mich)$/u,
    { is: 'in hand' },
  ],
  [
    /^(?:i (?:have )?|i['’]ve )?called(?: (?:the )?(?:rescue|rescue service|rescuers|emergency number|police|\+?[\d ]{3,18}))?(?: now)?$/u,
    { is: 'called' },
  ],
  [/^(?:call-?out made|the call-?out is made)$/u, { is: 'called' }],
  [/^(?:(?:den )?(?:rettungsdienst|notruf) )?angerufen$/u, { is: 'called' }],
  [/^es geht (?:ihnen|allen) gut$|^(?:sie sind|alle sind|alle) wohlauf$/u, { is: 'well' }],
  [/^(?:der )?rettungsdienst wei(?:ß|ss) (?:es|bescheid)$/u, { is: 'stood down' }],
  [
    /^(?:they are|they['’]re|all(?: are)?) (?:well|fine|ok|safe)$|^i (?:have )?(?:heard from|reached) them,? (?:they are|all are|all) (?:well|fine|ok)$/u,
    { is: 'well' },
  ],
  [/^(?:the )?rescue(?: service)? knows$/u, { is: 'stood down' }],
];

/**
 * What a contact's own words mean, by their first line; undefined for anything that could mean something else:
 * "called Mara, no answer" is no call to the rescue service.
 */
export function answerOf(text: string): Answer | undefined {
  const line = plain(text.split('\n')[0] ?? '');
  return ANSWERS.find(([words]) => words.test(line))?.[1];
}

/** Words that are one language's alone; Norwegian says ja as well, and is not among ours. */
const GERMAN =
  /^(?:ja\b|doch ja|nein$|aufhören|trotzdem|ich kümmere|(?:(?:den )?(?:rettungsdienst|notruf) )?angerufen|es geht|sie sind|alle sind wohlauf|alle wohlauf|der rettungsdienst)/u;

/** The language that an answer is written in, where its words are of one only. */
export function spokenIn(text: string): Language | undefined {
  return GERMAN.test(plain(text.split('\n')[0] ?? '')) ? 'de' : undefined;
}

const HELP = /^(?:help|help us|sos|s\.o\.s\.?|may ?day|emergency|need (?:help|rescue))\b/iu;
const DONE = /^p(?:itch)?\s*\.?(\d{1,2})\s+done(?:\s+(?:at\s+)?(\d{1,2})[:.]?(\d{2}))?$/u;
const WELL = /^(?:we are |we['’]re )?(?:all )?(?:well|ok|okay|fine)(?:[,;:.]\s*(.+))?$/u;
const DOWN = /^(?:all|everyone|we are|everybody) (?:is )?down$/u;

/**
 * What a party's own words mean. Whatever may be a call for help is one, wherever it stands; for the rest the
 * first line counts, because devices add lines of their own. Undefined for what can't be read.
 */
export function postOf(text: string): Post | undefined {
  const words = text.replace(/\s+/gu, ' ').trim().slice(0, 280);
  if (HELP.test(words)) return { is: 'trouble', what: words, callout: true };
  if (speaksOfTrouble(words) !== undefined) return { is: 'trouble', what: words, callout: false };
  const line = plain(text.split('\n')[0] ?? '');
  const done = DONE.exec(line);
  if (done !== null) {
    const [, number = '', hour, minute] = done;
    const at = hour === undefined ? {} : { at: `${hour.padStart(2, '0')}:${minute}` };
    return { is: 'done', number: Number(number), ...at };
  }
  if (DOWN.test(line)) return { is: 'down' };
  const well = WELL.exec(line);
  if (well === null) return undefined;
  return { is: 'well', ...(well[1] === undefined ? {} : { words: well[1] }) };
}

function plain(line: string): string {
  return line
    .toLowerCase()
    .replace(/\s+/gu, ' ')
    .replace(/[.! ]+$/u, '')
    .trim();
}
