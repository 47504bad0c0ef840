import { expect, test } from 'vitest';
import { personId } from '../../src/trip/people.ts';

test.each([
  ['Pål', 'pal'],
  // The same, its ring a character of its own.
  ['Pa\u030al Ås', 'pal-as'],
  ['Łucja', 'lucja'],
  ['Đorđe', 'dorde'],
  ['Straße', 'strasse'],
  ['Иван', 'ivan'],
  ['Nguyễn Thị', 'nguyen-thi'],
  // Without Latin letters for it.
  ['小林', 'p'],
  ['🧗', 'p'],
  ['-- ', 'p'],
])('%s is typed as %s', (name, id) => {
  expect(personId(name, [])).toBe(id);
  expect(personId(name, [id, `${id}-2`])).toBe(`${id}-3`);
});
