import fc from 'fast-check';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { dayClock } from '../../src/time/format.ts';
import { parseWhen } from '../../src/time/parse.ts';

const OSLO = 'Europe/Oslo';
/** Thursday 12 June 2031, 14:32:10 in Oslo. */
const NOW = Date.parse('2031-06-12T12:32:10Z');
const tzBefore = process.env.TZ;

function past(text: string, now: number | string = NOW, zone = OSLO) {
  return parseWhen(text, { zone, nowMs: new Date(now).getTime(), sense: 'past' });
}
function future(text: string, now: number | string = NOW, zone = OSLO) {
  return parseWhen(text, { zone, nowMs: new Date(now).getTime(), sense: 'future' });
}
function utc(result: ReturnType<typeof past>): string {
  if (!result.ok) throw new Error(result.message);
  return new Date(result.atMs).toISOString().replace(':00.000Z', '').replace('.000Z', '');
}
function refusal(result: ReturnType<typeof past>): string {
  if (result.ok) throw new Error(`not refused: ${new Date(result.atMs).toISOString()}`);
  return result.message;
}

afterEach(() => {
  vi.useRealTimers();
  if (tzBefore === undefined) delete process.env.TZ;
  else process.env.TZ = tzBefore;
});

describe('what has happened', () => {
  it.each([
    ['14:32', '2031-06-12T12:32'],
    ['2:32pm', '2031-06-12T12:32'],
    ['2.32 p.m.', '2031-06-12T12:32'],
    ['2pm', '2031-06-12T12:00'],
    ['today 12am', '2031-06-11T22:00'],
    ['noon', '2031-06-12T10:00'],
    ['14.05', '2031-06-12T12:05'],
    ['1405', '2031-06-12T12:05'],
    ['1205Z', '2031-06-12T12:05'],
    ['at 14:05', '2031-06-12T12:05'],
    ['now', '2031-06-12T12:32:10'],
    ['-20m', '2031-06-12T12:12:10'],
    ['−20 min', '2031-06-12T12:12:10'],
    ['-1h30m', '2031-06-12T11:02:10'],
    ['-1:30', '2031-06-12T11:02:10'],
    ['20m ago', '2031-06-12T12:12:10'],
    ['1h 5m ago', '2031-06-12T11:27:10'],
    ['an hour ago', '2031-06-12T11:32:10'],
    ['yesterday 22:40', '2031-06-11T20:40'],
    ['22:40 yesterday', '2031-06-11T20:40'],
    ['today at 9am', '2031-06-12T07:00'],
    ['wed 22:40', '2031-06-11T20:40'],
    ['Thursday 06:10', '2031-06-12T04:10'],
    ['fri 06:10', '2031-06-06T04:10'],
    ['2031-06-12 14:32', '2031-06-12T12:32'],
    ['2031-06-12T14:32:05', '2031-06-12T12:32:05'],
    ['2031-06-12T12:32:05Z', '2031-06-12T12:32:05'],
    ['2031-06-12T10:32:05.000-02:00', '2031-06-12T12:32:05'],
    ['20310612T143205', '2031-06-12T12:32:05'],
    ['11 June 22:40', '2031-06-11T20:40'],
    ['Wed 11 Jun 2031 22:40', '2031-06-11T20:40'],
    ['Jun 11 22:40', '2031-06-11T20:40'],
  ])('%s', (text, expected) => {
    expect(utc(past(text))).toBe(expected);
  });

  it('takes the nearest bare time, and refuses one that is still to come with the way out', () => {
    expect(utc(past('23:50', '2031-06-12T22:30Z'))).toBe('2031-06-12T21:50');
    expect(refusal(past('15:00'))).toBe(
      '15:00 is still 28 min ahead. If you mean yesterday, write "yesterday 15:00".',
    );
    expect(refusal(past('07:00', '2031-06-12T19:00Z'))).toBe(
      'Fri 07:00 is still 10 h ahead. If you mean today, write "today 07:00".',
    );
  });

  it('takes a time typed in the minute before it comes as now, and no more than that', () => {
    expect(utc(past('14:33'))).toBe('2031-06-12T12:32:10');
    expect(refusal(past('14:34'))).toMatch('ahead');
    expect(refusal(past('14:33', '2031-06-12T12:32:00Z'))).toMatch('ahead');
  });

  it.each([
    ['today 15:00', 'still 28 min ahead'],
    ['thu 18:00', 'still 3 h 28 ahead'],
    ['+10m', 'ahead'],
    ['25:00', 'Hours go from 0 to 23'],
    ['14:60', 'minutes to 59'],
    ['13pm', 'Hours go from 0 to 23'],
    ['14:00 +19:00', 'Offsets go like +01:00'],
    ['31 jun 14:00', 'No calendar has that day'],
    ['2031-13-01 14:00', 'No calendar has that day'],
    ['Fri 12 Jun 14:00', '12 Jun 2031 is a Thu, not a Fri'],
    ['2031-05-01 14:00', 'No more than 30 days'],
    ['20m', 'write -20m'],
    ['14', "Can't read"],
    ['6/12 14:00', "Can't read"],
    ['__proto__', "Can't read"],
    ['constructor 14:00', "Can't read"],
    ['soon', 'Write it like 14:32, -20m, yesterday 22:40 or 2031-06-12 14:32.'],
    ['', "Can't read"],
  ])('refuses "%s"', (text, reason) => {
    expect(refusal(past(text))).toMatch(reason);
  });
});

describe('what is to come', () => {
  it.each([
    ['18:40', '2031-06-12T16:40'],
    ['14:32', '2031-06-13T12:32'],
    ['+2h', '2031-06-12T14:32:10'],
    ['in 1 h 15', '2031-06-12T13:47:10'],
    ['tomorrow 06:00', '2031-06-13T04:00'],
    ['sat 18:40', '2031-06-14T16:40'],
    ['thu 18:40', '2031-06-12T16:40'],
    ['thu 06:00', '2031-06-19T04:00'],
    ['1 may 10:00', '2032-05-01T08:00'],
    ['midnight', '2031-06-12T22:00'],
    ['2100Z', '2031-06-12T21:00'],
  ])('%s', (text, expected) => {
    expect(utc(future(text))).toBe(expected);
  });

  it.each([
    ['-5m', 'has passed, 5 min ago'],
    ['yesterday 10:00', 'has passed'],
    ['today 13:00', 'If you mean tomorrow, write "tomorrow 13:00"'],
    ['2033-01-01 10:00', 'No more than 400 days'],
    ['90 min', 'write +90 min'],
  ])('refuses "%s"', (text, reason) => {
    expect(refusal(future(text))).toMatch(reason);
  });
});

// tz database, file europe: clocks forward on 30 March 2031 and back on 26 October 2031 at 01:00 UTC.
describe.each([
  ['UTC', '2031-01-01T00:00Z'],
  ['America/Los_Angeles', '2031-10-26T01:15Z'],
  ['Pacific/Apia', '2026-07-01T00:00Z'],
])('across a clock change, the machine in %s at %s', (tz, machine) => {
  const settle = () => {
    process.env.TZ = tz;
    vi.useFakeTimers({ toFake: ['Date'], now: new Date(machine) });
  };

  it('refuses a time that is left out and offers neighbours that are taken', () => {
    settle();
    for (const read of [past('02:30', '2031-03-30T02:00Z'), future('02:30', '2031-03-29T22:00Z')]) {
      const message = refusal(read);
      expect(message).toMatch('There is no 02:30 on 30 Mar: the clocks change');
      const offered = [...message.matchAll(/"([^"]+)"/g)].map((match) => match[1]!);
      expect(offered.map((text) => utc(past(text, '2031-03-30T12:00Z')))).toEqual([
        '2031-03-30T00:59',
        '2031-03-30T01:00',
      ]);
    }
  });

  it('takes the latest of two that has happened, and the earlier of two to come', () => {
    settle();
    const both = past('02:30', '2031-10-26T01:40Z');
    expect(utc(both)).toBe('2031-10-26T01:30');
    expect(both).toMatchObject({ note: expect.stringMatching('Taken as the second, \\+01:00') });
    const other = /"([^"]+)"/.exec((both as { note: string }).note)![1]!;
    expect(utc(past(other, '2031-10-26T01:40Z'))).toBe('2031-10-26T00:30');

    const first = past('02:30', '2031-10-26T01:10Z');
    expect(utc(first)).toBe('2031-10-26T00:30');
    expect(first).toMatchObject({ note: expect.stringMatching('the second is still to come') });
    expect(refusal(past('02:30', '2031-10-26T00:10Z'))).toMatch('ahead');

    expect(utc(future('02:30', '2031-10-25T20:00Z'))).toBe('2031-10-26T00:30');
    expect(utc(future('02:30', '2031-10-26T00:40Z'))).toBe('2031-10-26T01:30');
    expect(utc(future('02:30 +01:00', '2031-10-25T20:00Z'))).toBe('2031-10-26T01:30');
  });

  it('counts lengths of time in real minutes', () => {
    settle();
    expect(utc(past('-2h', '2031-03-30T02:00Z'))).toBe('2031-03-30T00:00');
    expect(utc(past('yesterday 14:00', '2031-03-30T12:00Z'))).toBe('2031-03-29T13:00');
  });
});

describe('for any instant and zone', () => {
  const zone = fc.constantFrom(OSLO, 'America/St_Johns', 'Asia/Kathmandu', 'Australia/Lord_Howe');
  const now = fc
    .integer({ min: Date.UTC(2024, 0, 1) / 60_000, max: Date.UTC(2036, 0, 1) / 60_000 })
    .map((min) => min * 60_000);

  it('reads back what format writes with a day', () => {
    fc.assert(
      fc.property(zone, now, fc.integer({ min: 1, max: 20 * 1440 }), (z, nowMs, backMin) => {
        const atMs = nowMs - backMin * 60_000;
        const text = dayClock(z, atMs, nowMs);
        fc.pre(/^[A-Z]/.test(text));
        expect(past(text, nowMs, z)).toMatchObject({ ok: true, atMs });
        expect(future(dayClock(z, nowMs, atMs), atMs, z)).toMatchObject({ ok: true, atMs: nowMs });
      }),
      { numRuns: 500 },
    );
  });

  it('never takes the future for the past, or more than a day for a bare time', () => {
    const time = fc.tuple(fc.integer({ min: 0, max: 23 }), fc.integer({ min: 0, max: 59 }));
    fc.assert(
      fc.property(zone, now, time, (z, nowMs, [hour, minute]) => {
        const text = `${hour}:${String(minute).padStart(2, '0')}`;
        const back = past(text, nowMs, z);
        if (back.ok) {
          expect(back.atMs).toBeLessThanOrEqual(nowMs);
          expect(nowMs - back.atMs).toBeLessThanOrEqual(13.5 * 3_600_000);
        }
        const on = future(text, nowMs, z);
        if (on.ok) {
          expect(on.atMs).toBeGreaterThanOrEqual(nowMs);
          expect(on.atMs - nowMs).toBeLessThanOrEqual(25 * 3_600_000);
        }
        // A refusal of one sense is never a refusal of both, but for a time left out.
        if (!back.ok && !on.ok) expect(back.message).toMatch('There is no');
      }),
      { numRuns: 500 },
    );
  });

  it('answers anything at all without failing', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 60 }), (text) => {
        expect(typeof past(text).ok).toBe('boolean');
        expect(typeof future(`${text} 14:00`).ok).toBe('boolean');
      }),
      { numRuns: 2000 },
    );
  });
});
