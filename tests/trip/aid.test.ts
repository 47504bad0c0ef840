import { expect, it, test } from 'vitest';
import { parseAid } from '../../src/trip/aid.ts';
import { gradeText, modeOf, readPitch } from '../../src/trip/topo.ts';

// Aid scale: A where a hammer is allowed, C clean, 0–5 both (definitions as on liquisearch.com,
// "Grade (climbing): aid climbing"). No conversion to free grades is published, and none is made.
it.each(
  ['A', 'C'].flatMap((letter) => [0, 1, 2, 3, 4, 5].map((n) => [`${letter}${n}`, n] as const)),
)('%s has rank %d', (text, rank) => {
  expect(parseAid(text)).toEqual({ text, rank });
  expect(parseAid(` ${text.toLowerCase()} `)).toEqual({ text, rank });
});

it.each([0, 1, 2, 3, 4])('A%d+ stands half a grade above', (n) => {
  expect(parseAid(`a${n}+`)).toEqual({ text: `A${n}+`, rank: n + 0.5 });
});

it.each(['', 'A', '2', 'A6', 'A5+', 'B2', 'A2-', 'A-1', 'AA2', 'A 2', 'A2 C1', '6a'])(
  '"%s" is none',
  (typed) => {
    expect(parseAid(typed)).toBeUndefined();
  },
);

test('how a pitch is climbed: A0 among free moves is free, more is aid', () => {
  const pitch = (grades: { free?: string; aid?: string }) =>
    readPitch({
      number: 1,
      lengthM: 30,
      stance: 'ledge',
      bivy: 'none',
      rappel: true,
      ...grades,
    });
  expect(modeOf(pitch({ free: '6a' }))).toBe('free');
  expect(modeOf(pitch({ free: '6a', aid: 'A0' }))).toBe('free');
  expect(modeOf(pitch({ free: '6a', aid: 'C1' }))).toBe('aid');
  expect(modeOf(pitch({ aid: 'A0' }))).toBe('aid');
  expect(modeOf(pitch({}))).toBe('free');
  expect(gradeText(pitch({ free: '6a', aid: 'A0' }))).toBe('6a A0');
  expect(gradeText(pitch({}))).toBe('no grade');
});
