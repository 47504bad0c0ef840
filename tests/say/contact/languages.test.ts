import { describe, expect, it } from 'vitest';
import { accepted, hoursOf, isLocale, languageOf } from '../../../src/say/contact/languages.ts';
import { ENGLISH, wordsIn } from '../../../src/say/contact/words.ts';
import { dayClockIn, weekdayClock } from '../../../src/time/in-language.ts';

describe('which language a tag is of', () => {
  it.each([
    ['de', 'de'],
    ['de-AT', 'de'],
    ['en-GB', 'en'],
    ['nb', undefined],
    ['', undefined],
    [undefined, undefined],
  ])('%s is %s', (tag, language) => expect(languageOf(tag)).toBe(language));

  // RFC 9110, 12.5.4: the order is by weight, 1 where none is given; 0 is never.
  it.each([
    ['de', 'de'],
    ['nb-NO,de;q=0.7,en;q=0.8', 'en'],
    ['fr;q=1, de-CH;q=0.5', 'de-CH'],
    ['de;q=0, en;q=0.1', 'en'],
    ['*', undefined],
    ['de;drop=1', 'de'],
    [`${'x,'.repeat(5000)}de`, undefined],
    [undefined, undefined],
  ])('of what a browser takes, %s, it is %s', (header, tag) => expect(accepted(header)).toBe(tag));

  it('keeps tags and nothing else', () => {
    expect(['de', 'en-US', 'zh-Hant-TW', 'es-419'].filter(isLocale)).toHaveLength(4);
    expect(['', 'de_DE', 'deutsch', 'de-', '../de', 'DE'].filter(isLocale)).toEqual([]);
  });
});

describe('times as they are read there', () => {
  // CLDR: the United States read 12 hours, Britain, Germany and Norway 24.
  it.each([
    ['en-US', 12],
    ['en-GB', 24],
    ['de', 24],
    ['de-CH', 24],
    ['en', undefined],
    [undefined, undefined],
  ])('%s has %s hours', (tag, hours) => expect(hoursOf(tag)).toBe(hours));

  const at = Date.UTC(2031, 5, 12, 12, 32);
  const near = at - 86_400_000;
  const far = at - 9 * 86_400_000;

  it('names days and months in the language', () => {
    expect(weekdayClock('en', 'Europe/Oslo', at, near)).toBe('Thu 14:32');
    expect(weekdayClock('de', 'Europe/Oslo', at, near)).toBe('Do 14:32');
    expect(weekdayClock('en', 'Europe/Oslo', at, far)).toBe('Thu 12 Jun 14:32');
    expect(weekdayClock('de', 'Europe/Oslo', at, far)).toBe('Do 12. Juni 14:32');
    expect(dayClockIn('de', 'Europe/Oslo', at, at)).toBe('14:32');
    expect(dayClockIn('de', 'Europe/Oslo', at, at - 400 * 86_400_000)).toBe(
      'Do 12. Juni 2031 14:32',
    );
  });

  it('joins names as the language does', () => {
    expect(ENGLISH.list(['Mara', 'Jonas', 'Ines'])).toBe('Mara, Jonas and Ines');
    expect(wordsIn('de').list(['Mara', 'Jonas', 'Ines'])).toBe('Mara, Jonas und Ines');
    expect(ENGLISH.list(['Mara'])).toBe('Mara');
  });
});
