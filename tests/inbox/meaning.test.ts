import { describe, expect, it } from 'vitest';
import { cut } from '../../src/inbox/cut.ts';
import { answerOf, postOf, spokenIn } from '../../src/inbox/meaning.ts';
import { CODES } from '../../src/say/contact/languages.ts';
import { wordsIn } from '../../src/say/contact/words.ts';

describe('what somebody wrote themselves', () => {
  it.each([
    [
      'OK\n\nOn Thu, 12 Jun 2031 at 20:31, tagline <watch@example.org> wrote:\n> Nothing heard',
      'OK',
    ],
    ['called\r\n\r\n-----Original Message-----\r\nFrom: tagline', 'called'],
    ['ok\n\nAm 12.06.2031 um 20:31 schrieb tagline:\n> Nichts', 'ok'],
    ['ok\n\ntor. 12. juni 2031 kl. 20:31 skrev tagline <watch@example.org>:\n> x', 'ok'],
    ['> They are not down\n\nCALLED\n> Call 112 now', 'CALLED'],
    ['  ok  \n-- \nDana\n+47 000 00 000', 'ok'],
    ['P5 done 1422\n\nSent via a satellite device\nhttps://example.org/map', 'P5 done 1422'],
    ['On the way up we met nobody', 'On the way up we met nobody'],
    ['', ''],
  ])('%j', (mail, own) => {
    expect(cut(mail)).toBe(own);
  });

  it('is read as far as an answer can reach, whatever is sent', () => {
    expect(cut('x'.repeat(5_000_000))).toHaveLength(600);
    expect(cut('a '.repeat(1_000_000)).length).toBeLessThanOrEqual(600);
  });
});

describe('a contact', () => {
  it.each([
    ['OK', 'in hand'],
    ["I've got it.", 'in hand'],
    ['Called', 'called'],
    ['I have called 112', 'called'],
    ['called the rescue service', 'called'],
    ['They are well!', 'well'],
    ['THE RESCUE SERVICE KNOWS', 'stood down'],
    ['yes', 'yes'],
    ['leave', 'no'],
    ['YES, LEAVE', 'no'],
  ])('is understood by %j', (mail, is) => {
    expect(answerOf(mail)?.is).toBe(is);
  });

  // A call that was not made, a word that is none: what could mean something else means nothing.
  it.each([
    'called Mara, no answer',
    'I called them, nobody answers',
    'have you called?',
    'called nobody',
    'not ok',
    'ok?',
    'are they well?',
    'they are not well',
    'they are well I hope',
    'I think they are fine',
    'I will call 112 at ten',
    'rescue does not know',
    'no idea',
    'Who is this?',
    '',
  ])('is asked back at %j', (mail) => {
    expect(answerOf(mail)).toBeUndefined();
  });
});

describe('a party', () => {
  it.each([
    ['P5 done 1422', { is: 'done', number: 5, at: '14:22' }],
    ['pitch 5 done at 14:22', { is: 'done', number: 5, at: '14:22' }],
    ['p12 DONE 9.05', { is: 'done', number: 12, at: '09:05' }],
    ['P5 done', { is: 'done', number: 5 }],
    ['all well', { is: 'well' }],
    ['All well, on the ledge', { is: 'well', words: 'on the ledge' }],
    ['all down', { is: 'down' }],
    ['HELP', { is: 'trouble', what: 'HELP', callout: true }],
    ['sos leader fell', { is: 'trouble', what: 'sos leader fell', callout: true }],
    ['Jonas broke his leg', { is: 'trouble', what: 'Jonas broke his leg', callout: false }],
    // A device on a wall can hardly be asked back.
    ['not well', { is: 'trouble', what: 'not well', callout: false }],
    ['niemand verletzt, all well', undefined],
    // Wherever it stands: a device's cheerful first line must not hide it.
    [
      'all well\nno, Ines is hurt',
      { is: 'trouble', what: 'all well no, Ines is hurt', callout: false },
    ],
  ])('is understood by %j', (mail, post) => {
    expect(postOf(mail)).toEqual(post);
  });

  it.each(['P5', 'done', '5', 'P5 not done', 'P5 done soon', 'well?', 'where are you', ''])(
    'is asked back at %j',
    (mail) => {
      expect(postOf(mail)).toBeUndefined();
    },
  );
});

describe.each(CODES)('every word that a mail in %s asks for', (language) => {
  const w = wordsIn(language);

  it.each([
    ['word.yes', { is: 'yes' }],
    ['word.no', { is: 'no', leave: false, sure: false }],
    ['word.leave', { is: 'no', leave: true, sure: false }],
    ['word.leaveSure', { is: 'no', leave: true, sure: true }],
    ['word.ack', { is: 'in hand' }],
    ['word.called', { is: 'called' }],
    ['word.fine', { is: 'well' }],
    ['word.stoodDown', { is: 'stood down' }],
    ['button.ack', { is: 'in hand' }],
    ['button.called', { is: 'called' }],
  ] as const)('%s is understood, in any case', (key, answer) => {
    for (const said of [w.text(key), w.text(key).toLowerCase(), `${w.text(key)}.`]) {
      expect(answerOf(said)).toEqual(answer);
    }
  });

  it('says which language it is of, where its words are of one only', () => {
    const own = [
      'word.yes',
      'word.no',
      'word.leave',
      'word.called',
      'word.fine',
      'word.stoodDown',
    ] as const;
    const expected = language === 'en' ? undefined : language;
    expect(own.map((key) => spokenIn(w.text(key)))).toEqual(own.map(() => expected));
  });
});

it.each([
  'ANGERUFEN Mara, keine Antwort',
  'Ja, aber wann',
  'es geht mir gut',
  'Rettungsdienst nicht angerufen',
])('in German too what could mean something else is asked back: %s', (text) =>
  expect(answerOf(text)).toBeUndefined(),
);
