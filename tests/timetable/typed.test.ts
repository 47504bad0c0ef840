import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clock } from '../../src/time/format.ts';
import { localDay, weekdayOf } from '../../src/time/zone.ts';
import { departures } from '../../src/timetable/departures.ts';
import { timetableSchema } from '../../src/timetable/timetable.ts';
import { parseTimetable } from '../../src/timetable/typed.ts';

const OSLO = 'Europe/Oslo';

function timetable(text: string, zone = OSLO) {
  const read = parseTimetable(text, zone);
  if (!read.ok) throw new Error(read.message);
  return read.timetable;
}

/** Departures of a span as local `DD HH:MM`, the last of a day marked. */
function times(text: string, from: string, to: string, zone = OSLO): string[] {
  return departures(timetable(text, zone), Date.parse(from), Date.parse(to)).map(
    ({ atMs, last }) => `${localDay(zone, atMs).day} ${clock(zone, atMs)}${last ? ' last' : ''}`,
  );
}

describe('a typed timetable', () => {
  it.each([
    [
      'first 06:20, last 18:40, every 20 min, 1 May–12 Oct, not Sundays',
      ['06:20 to 18:40 every 20 min (38 a day), 1 May–12 Oct, not Sun'],
    ],
    ['06:20, 08:00, 11:30', ['06:20, 08:00, 11:30, daily']],
    ['06:20 08:00 and 11:30; Sat 09:00', ['06:20, 08:00, 11:30, not Sat', '09:00, Sat']],
    [
      'Mon-Fri 06:20-18:40 every 20 min; Sat, Sun 08:00 to 16:00 hourly; not 17 May',
      [
        '06:20 to 18:40 every 20 min (38 a day), Mon–Fri',
        '08:00 to 16:00 every 60 min (9 a day), Sat, Sun, not 17 May',
      ],
    ],
    ['0620, 0800, 2315, 0015', ['06:20, 08:00, 23:15, 00:15 the night after, daily']],
    ['first 06:20, 08:00, last 11:30', ['06:20, 08:00, 11:30, daily']],
    ['weekends 9am, 1pm, 5.15pm', ['09:00, 13:00, 17:15, Sat, Sun']],
    ['06:20 until 12 Oct 2031, not Sat, Sun', ['06:20, until 12 Oct 2031, Mon–Fri']],
    ['2031-05-01 to 2031-10-12 06:20', ['06:20, 1 May 2031–12 Oct 2031, daily']],
    ['1 Nov–28 Feb 2032: 09:00', ['09:00, 1 Nov 2031–28 Feb 2032, daily']],
    ['06:20, Fri-Mon', ['06:20, Mon, Fri, Sat, Sun']],
    ['06:20, 12 June and 13 June', ['06:20, 12 Jun, 13 Jun']],
    ['06:20, from 1 May', ['06:20, 1 May–31 Dec, daily']],
    [
      'first 06:20, last 18:35, every 20 min',
      ['06:20 to 18:20 every 20 min, and 18:35 (38 a day), daily'],
    ],
    [
      'first bus at 6:20am last bus 12:20am every half hour, except Sundays and 17 May',
      ['06:20 to 00:20 the night after every 30 min (37 a day), not Sun, not 17 May'],
    ],
  ])('%s', (text, readAs) => {
    const read = parseTimetable(text, OSLO);
    expect(read).toMatchObject({ ok: true, readAs });
    if (read.ok)
      expect(timetableSchema.parse(JSON.parse(JSON.stringify(read.timetable)))).toEqual(
        read.timetable,
      );
  });

  it.each([
    ['', 'No times'],
    ['not Sundays', 'No times in "not Sundays"'],
    ['first 06:20, last 18:40', 'How often'],
    ['every 20 min', 'From when to when'],
    ['first 06:20, every 20 min', 'From when to when'],
    ['06:20, not holidays', "Holidays aren't known"],
    ['1/5-12/10 06:20', 'could be two days'],
    ['25:10', "isn't a time of day"],
    ['06:20, 31 June', 'Can\'t read "31 june"'],
    ['06:20, __proto__', "Can't read"],
    ['06:20, whenever', 'Can\'t read "whenever"'],
    ['06:20 except Mon-Sun', 'no day on which it runs'],
    ['06:20, 1 May-12 Oct, 1 Nov-2 Nov', 'Two seasons'],
    ['06:00-08:00 every 10 min every 20 min', 'Two intervals'],
    ['00:00-23:59 every 1 min', 'Check how often'],
    ['06:20, '.repeat(200), 'No more than 1000'],
  ])('refuses "%s"', (text, reason) => {
    const read = parseTimetable(text, OSLO);
    expect(read.ok ? '' : read.message).toMatch(reason);
  });

  it('answers anything at all without failing', () => {
    const words = fc.constantFrom(
      ...['first', 'last', 'every', '06:20', '1 May', '-', ',', ';', 'not', 'Sun', '20 min', 'to'],
      ...['and', '2031-05-01', '1840', 'hourly', 'x', 'Ω', '12', 'until', 'from', 'daily', '99:99'],
    );
    fc.assert(
      fc.property(fc.array(words, { maxLength: 12 }), fc.string(), (list, text) => {
        for (const typed of [list.join(' '), list.join(', '), text]) {
          const read = parseTimetable(typed, OSLO);
          if (read.ok) expect(timetableSchema.safeParse(read.timetable).success).toBe(true);
          else expect(read.message).not.toBe('');
        }
      }),
      { numRuns: 1500 },
    );
  });
});

describe('departures', () => {
  it('keeps the season, the weekdays and the exceptions, and marks the last of each day', () => {
    const text = 'first 18:00, last 18:40, every 20 min, 1 May–12 Oct, not Sundays';
    expect(times(text, '2031-06-14T16:10Z', '2031-06-17T00:00Z')).toEqual([
      '14 18:20',
      '14 18:40 last',
      // The 15th is a Sunday.
      '16 18:00',
      '16 18:20',
      '16 18:40 last',
    ]);
    expect(times(text, '2031-10-12T00:00Z', '2031-11-01T00:00Z')).toEqual([]);
    expect(times('09:00, 1 Nov-30 Apr', '2031-12-31T00:00Z', '2032-01-02T00:00Z')).toHaveLength(2);
    expect(times('09:00, 1 Nov-30 Apr', '2031-05-01T00:00Z', '2031-10-31T00:00Z')).toEqual([]);
  });

  it('counts a departure after midnight to the day before', () => {
    expect(times('23:30, 00:30, not Sun', '2031-06-14T18:00Z', '2031-06-16T10:00Z')).toEqual([
      '14 23:30',
      '15 00:30 last',
    ]);
  });

  it('goes by the wall clock on the day of a clock change', () => {
    // tz database, file europe: 02:00 to 03:00 on 30 March 2031, 03:00 back to 02:00 on 26 October.
    expect(times('02:30, 06:20', '2031-03-29T23:00Z', '2031-03-30T22:00Z')).toEqual([
      '30 03:00',
      '30 06:20 last',
    ]);
    const autumn = departures(
      timetable('02:30, 06:20'),
      Date.parse('2031-10-25T22:00Z'),
      Date.parse('2031-10-26T22:00Z'),
    );
    expect(autumn.map(({ atMs }) => new Date(atMs).toISOString().slice(11, 16))).toEqual([
      '00:30',
      '05:20',
    ]);
  });

  it('has none on a day that the zone skipped', () => {
    // tz database, file australasia: Samoa had no 30 December 2011.
    const apia = times('12:00', '2011-12-29T12:00Z', '2011-12-31T12:00Z', 'Pacific/Apia');
    expect(apia).toEqual(['29 12:00 last', '31 12:00 last']);
  });

  it('gives every day its departures, ascending and once, whatever the span is cut into', () => {
    const start = fc
      .integer({ min: 0, max: 900 })
      .map((n) => Date.UTC(2030, 0, 1) + n * 40_000_000);
    const table = timetable('first 05:10, last 00:50, every 35 min, not Tue; Tue 09:00');
    fc.assert(
      fc.property(start, fc.integer({ min: 1, max: 200 }), (fromMs, hours) => {
        const toMs = fromMs + hours * 3_600_000;
        const whole = departures(table, fromMs, toMs);
        const middle = fromMs + Math.floor((toMs - fromMs) / 3);
        const cut = [...departures(table, fromMs, middle), ...departures(table, middle, toMs)];
        expect(cut).toEqual(whole);
        for (const [i, { atMs }] of whole.entries()) {
          expect(atMs).toBeGreaterThan(whole[i - 1]?.atMs ?? fromMs - 1);
          const late = clock(OSLO, atMs) < '04:00';
          const serviceDay = localDay(OSLO, late ? atMs - 86_400_000 / 3 : atMs);
          if (weekdayOf(serviceDay) === 2) expect(clock(OSLO, atMs)).toBe('09:00');
        }
      }),
      { numRuns: 60 },
    );
  });

  it('refuses a span of more than 400 days', () => {
    expect(() => departures(timetable('09:00'), 0, 86_400_000 * 500)).toThrow(RangeError);
  });
});
