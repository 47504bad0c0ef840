import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseDuration } from '../../src/time/duration.ts';
import { aheadBehind, clock, dayClock, duration } from '../../src/time/format.ts';

const OSLO = 'Europe/Oslo';
const at = (text: string) => Date.parse(text);

describe('times of day', () => {
  it('writes the wall clock, and cuts seconds off', () => {
    expect(clock(OSLO, at('2031-06-12T12:32:59Z'))).toBe('14:32');
    expect(clock('Asia/Kathmandu', at('2031-06-12T00:00Z'))).toBe('05:45');
  });

  it.each([
    ['2031-06-12T20:00Z', '22:00'],
    ['2031-06-12T23:00Z', 'Fri 01:00'],
    ['2031-06-15T16:40Z', 'Sun 18:40'],
    ['2031-06-09T16:40Z', 'Mon 18:40'],
    ['2031-06-16T16:40Z', 'Mon 16 Jun 18:40'],
    ['2032-06-12T16:40Z', 'Sat 12 Jun 2032 18:40'],
  ])('adds as much of the date as it takes: %s', (instant, expected) => {
    expect(dayClock(OSLO, at(instant), at('2031-06-12T12:32Z'))).toBe(expected);
  });

  it('tells the two passes of a doubled hour apart', () => {
    // tz database, file europe: clocks back on 26 October 2031 at 01:00 UTC.
    const now = at('2031-10-25T12:00Z');
    expect(dayClock(OSLO, at('2031-10-26T00:30Z'), now)).toBe('Sun 02:30 +02:00');
    expect(dayClock(OSLO, at('2031-10-26T01:30Z'), now)).toBe('Sun 02:30 +01:00');
  });
});

describe('lengths of time', () => {
  it.each([
    [0, '0 min'],
    [40, '40 min'],
    [59.6, '1 h'],
    [125, '2 h 05'],
    [-35, '35 min'],
    [26 * 60 + 10, '26 h 10'],
    [76 * 60, '3 d 4 h'],
    [95.9 * 60, '4 d'],
  ])('writes %d minutes as %s', (min, expected) => {
    expect(duration(min)).toBe(expected);
  });

  it.each([
    ['1h30m', 90],
    ['1 h 30', 90],
    ['2 h 05', 125],
    ['90 min', 90],
    ['90m', 90],
    ['1:30', 90],
    ['1.5h', 90],
    ['1,5 hours', 90],
    ['1d 4h', 1680],
    ['2 hours 5 minutes', 125],
  ])('reads %s', (text, min) => {
    expect(parseDuration(text)).toEqual({ ok: true, min });
  });

  it.each(['90', '', 'long', '1h 1h', '30m 1h', '1:75', '-20m', 'h', '1h x'])(
    'refuses "%s"',
    (text) => {
      expect(parseDuration(text)).toMatchObject({ ok: false });
    },
  );

  it('refuses what is longer than 14 days', () => {
    expect(parseDuration('336h')).toEqual({ ok: true, min: 20_160 });
    expect(parseDuration('337h')).toMatchObject({
      ok: false,
      message: expect.stringMatching('14'),
    });
  });

  it('reads back what it writes, under three days', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 72 * 60 - 1 }), (min) => {
        expect(parseDuration(duration(min))).toEqual({ ok: true, min });
      }),
    );
  });

  it('says where a party stands', () => {
    expect(aheadBehind(35)).toBe('behind by 35 min');
    expect(aheadBehind(-65)).toBe('ahead by 1 h 05');
    expect(aheadBehind(-5)).toBe('on schedule');
    expect(aheadBehind(3, 0)).toBe('behind by 3 min');
  });
});
