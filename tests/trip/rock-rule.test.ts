import { describe, expect, it } from 'vitest';
import { hoursBy, readRockRule } from '../../src/trip/rock-rule.ts';

const read = (text: string) => {
  const rule = readRockRule(text);
  if ('unread' in rule) throw new Error(rule.unread);
  return rule;
};

// Invented notices: no public source has hours by aspect.
describe('a land manager’s rule', () => {
  it.each([
    ['36', 'north', 6, 36],
    ['36 h', undefined, 6, 36],
    ['south 24, north 48', 'north', 6, 48],
    ['S 24; N and NE 48', 'north-east', 6, 48],
    ['north face 48, else 24', 'west', 6, 24],
    ['Nov–Mar 72, else 36', undefined, 1, 72],
    ['Nov-Mar 72, else 36', undefined, 3, 72],
    ['Nov to March 72, otherwise 36', undefined, 4, 36],
    ['dec 72, 24', 'east', 12, 72],
    // Two that hold at once: the longer one.
    ['north 48, Nov–Mar 72, else 24', 'north', 12, 72],
    ['north 48, Nov–Mar 72, else 24', 'north', 6, 48],
    ['0', undefined, 6, 0],
  ] as const)('%s: a wall facing %s in month %d is left alone %d h', (text, face, month, hours) => {
    expect(hoursBy(read(text), face, month)).toBe(hours);
  });

  it('has no hours where no clause is for this wall', () => {
    expect(hoursBy(read('south 24'), 'north', 6)).toBeUndefined();
    expect(hoursBy(read('south 24'), undefined, 6)).toBeUndefined();
  });

  it.each(['', 'when dry', '24-48', '200', 'shady 48', '-3', 'north'])(
    'doesn’t read “%s”',
    (text) => {
      expect(readRockRule(text)).toHaveProperty('unread');
    },
  );
});
