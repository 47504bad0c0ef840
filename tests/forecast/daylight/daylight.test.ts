import fc from 'fast-check';
import { getTimes } from 'suncalc';
import { describe, expect, it } from 'vitest';
import { type Daylight, daylight } from '../../../src/forecast/daylight/daylight.ts';
import { addLocalDays, localDay } from '../../../src/time/zone.ts';
import { USNO_2019, usnoRows } from './usno.ts';

const MIN = 60_000;

function dayOf(text: string) {
  const [year, month, day] = text.split('-').map(Number) as [number, number, number];
  return { year, month, day };
}

/** Printed to the minute: within the half minute of rounding, and a second for what is left over. */
const PRINTED_MS = 31_000;

describe.each(USNO_2019)('sunrise and sunset at $name, U.S. Naval Observatory', (table) => {
  const zone = `Etc/GMT${table.lon > 0 ? '-' : '+'}${Math.abs(Math.round(table.lon / 15))}`;

  it.each(usnoRows(table))('on $month/$day 2019', (row) => {
    const day = { year: 2019, month: row.month, day: row.day };
    const near = [-1, 0, 1].map((n) => daylight(table, zone, addLocalDays(day, n)));
    const inDay = (ms: number | undefined) =>
      ms !== undefined && ms >= row.midnightMs && ms < row.midnightMs + 1440 * MIN;
    const [rise] = near.map((d) => d.sunriseMs).filter(inDay);
    const [set] = near.map((d) => d.sunsetMs).filter(inDay);
    for (const [ours, printed] of [
      [rise, row.rise],
      [set, row.set],
    ]) {
      if (printed === undefined) expect(ours).toBeUndefined();
      else expect(Math.abs(ours! - row.midnightMs - printed * MIN)).toBeLessThan(PRINTED_MS);
    }
    if (row.allDay === 'up') expect(near[1]).toMatchObject({ lightAllDay: true });
  });
});

interface Printed {
  place: { lat: number; lon: number };
  zone: string;
  date: string;
  source: string;
  /** Local times, HH:MM or HH:MM:SS. */
  dawn?: string;
  rise?: string;
  set?: string;
  dusk?: string;
  withinS: number;
}

const PRINTED: Printed[] = [
  {
    source: 'U.S. Naval Observatory, one day, as quoted at rhodesmill.org/pyephem/rise-set.html',
    ...{ place: { lat: 33.8, lon: -84.4 }, zone: 'America/New_York', date: '2009-09-06' },
    ...{ dawn: '06:50', rise: '07:15', set: '19:56', dusk: '20:21', withinS: 60 },
  },
  {
    source: 'U.S. Naval Observatory, one day, as quoted at answers.com (daylight in north Norway)',
    ...{ place: { lat: 69.5, lon: 19 }, zone: 'Etc/GMT-1', date: '2014-04-01' },
    ...{ dawn: '03:46', rise: '04:50', set: '18:49', dusk: '19:53', withinS: 120 },
  },
  ...(
    [
      ['2016-09-01', '06:02', '06:32', '19:41', '20:11'],
      ['2016-09-15', '06:19', '06:47', '19:16', '19:45'],
      ['2016-09-30', '06:36', '07:04', '18:49', '19:18'],
    ] as const
  ).map(([date, dawn, rise, set, dusk]) => ({
    source: 'faculty.luther.edu/bernatzr, September; the year is not stated there',
    ...{ place: { lat: 43.3033, lon: -91.7857 }, zone: 'America/Chicago', date },
    ...{ dawn, rise, set, dusk, withinS: 90 },
  })),
  ...(
    [
      ['2015-12-01', '07:03:17', '07:43'],
      ['2015-12-02', '07:04:34', '07:45'],
      ['2015-12-03', '07:05:48', '07:46'],
      ['2015-12-12', '07:15:36', '07:56'],
      ['2015-12-25', '07:24:00', '08:05'],
    ] as const
  ).flatMap(([date, dawn, rise]) => {
    const place = { lat: 51.4733, lon: -0.0008 };
    const source = 'test suite of the astral package, which allows itself 60 s';
    const row = { source, place, zone: 'Europe/London', date };
    // Its sunrises are printed to the minute on top of that.
    return [
      { ...row, dawn, withinS: 60 },
      { ...row, rise, withinS: 60 + 30 },
    ];
  }),
  {
    source: 'NREL Solar Position Algorithm report, 17 Oct 2003 (its sunset is of the UT day)',
    ...{ place: { lat: 39.742476, lon: -105.1786 }, zone: 'Etc/GMT+7', date: '2003-10-17' },
    ...{ rise: '06:12:43', withinS: 10 },
  },
  {
    source: 'the same report: its sunset belongs to local 16 October',
    ...{ place: { lat: 39.742476, lon: -105.1786 }, zone: 'Etc/GMT+7', date: '2003-10-16' },
    ...{ set: '17:20:19', withinS: 10 },
  },
  {
    source: 'rise and set table of an Astro::Sunrise test',
    ...{ place: { lat: 51.4779, lon: 0 }, zone: 'UTC', date: '2013-06-21' },
    ...{ rise: '03:43', set: '20:21', withinS: 60 },
  },
];

describe('published times elsewhere', () => {
  it.each(PRINTED)('$date, $place.lat $place.lon: $source', (row) => {
    const ours = daylight(row.place, row.zone, dayOf(row.date));
    const { year, month, day } = dayOf(row.date);
    const midday = Date.UTC(year, month - 1, day, 12);
    for (const [ms, text] of [
      [ours.dawnMs, row.dawn],
      [ours.sunriseMs, row.rise],
      [ours.sunsetMs, row.set],
      [ours.duskMs, row.dusk],
    ] as const) {
      if (text === undefined) continue;
      const [hour, minute, second = 0] = text.split(':').map(Number) as [number, number, number?];
      const shown = new Intl.DateTimeFormat('en-GB', {
        timeZone: row.zone,
        timeStyle: 'medium',
      }).format(ms);
      const [h, m, s] = shown.split(':').map(Number) as [number, number, number];
      const off = (h - hour) * 3600 + (m - minute) * 60 + s - second;
      expect(Math.abs(off), `${text} printed, ${shown} here`).toBeLessThanOrEqual(row.withinS);
      expect(Math.abs(ms! - midday)).toBeLessThan(24 * 60 * MIN);
    }
  });
});

describe('where the sun does not set, or does not rise', () => {
  const place = { lat: 69.5, lon: 19 };

  it('has no darkness in the white nights, and the sun stays up from mid-May to late July', () => {
    // U.S. Naval Observatory as quoted at answers.com: no twilight entries on 30 April 2014, the last
    // sunset before the midnight sun on 17 May, the next on 25 July.
    const of = (text: string) => daylight(place, 'Europe/Oslo', dayOf(text));
    expect(of('2014-04-30')).toMatchObject({ lightAllDay: true, darkAllDay: false });
    expect(of('2014-04-30').sunsetMs).toBeDefined();
    expect(of('2014-06-21').sunsetMs).toBeUndefined();
    expect(of('2014-05-20').sunsetMs).toBeUndefined();
    expect(of('2014-07-23').sunriseMs).toBeUndefined();
    expect(of('2014-07-27').sunriseMs).toBeDefined();
  });

  it('has civil twilight but no sun in December, and nothing at all far north', () => {
    const december = daylight(place, 'Europe/Oslo', dayOf('2014-12-21'));
    expect(december.sunriseMs).toBeUndefined();
    expect(december.dawnMs).toBeLessThan(december.duskMs!);
    expect(daylight({ lat: 80, lon: 0 }, 'UTC', dayOf('2019-12-21'))).toMatchObject({
      darkAllDay: true,
      lightAllDay: false,
    });
  });
});

describe('against an independent package (suncalc)', () => {
  const days = fc.integer({ min: 0, max: 20_000 }).map((n) => localDay('UTC', n * 86_400_000));

  it('agrees within 45 s up to 60° north and south', () => {
    const lat = fc.double({ min: -60, max: 60, noNaN: true });
    const lon = fc.double({ min: -180, max: 180, noNaN: true });
    fc.assert(
      fc.property(lat, lon, days, (latDeg, lonDeg, day) => {
        const hours = Math.round(lonDeg / 15);
        const zone = hours === 0 ? 'UTC' : `Etc/GMT${hours > 0 ? '-' : '+'}${Math.abs(hours)}`;
        const ours = daylight({ lat: latDeg, lon: lonDeg }, zone, day);
        const theirs = getTimes(new Date(ours.noonMs), latDeg, lonDeg);
        const pairs: [keyof Daylight, Date | null][] = [
          ['dawnMs', theirs.dawn],
          ['sunriseMs', theirs.sunrise],
          ['noonMs', theirs.solarNoon],
          ['sunsetMs', theirs.sunset],
          ['duskMs', theirs.dusk],
        ];
        for (const [name, time] of pairs) {
          // Grazing twilight in a 60° summer is where the two may differ on whether there is any.
          if (time === null || ours[name] === undefined)
            expect(Math.abs(latDeg)).toBeGreaterThan(59);
          else expect(Math.abs((ours[name] as number) - time.getTime())).toBeLessThan(45_000);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('keeps order: dawn, sunrise, noon, sunset, dusk, wherever they exist', () => {
    const lat = fc.double({ min: -89, max: 89, noNaN: true });
    fc.assert(
      fc.property(lat, days, (latDeg, day) => {
        const of = daylight({ lat: latDeg, lon: 10 }, 'Europe/Oslo', day);
        const order = [of.dawnMs, of.sunriseMs, of.noonMs, of.sunsetMs, of.duskMs];
        const known = order.filter((ms) => ms !== undefined);
        expect([...known].sort((a, b) => a - b)).toEqual(known);
        expect(of.lightAllDay && of.darkAllDay).toBe(false);
        if (of.darkAllDay) expect(of.sunriseMs ?? of.sunsetMs).toBeUndefined();
      }),
      { numRuns: 300 },
    );
  });

  it('refuses a place off the globe', () => {
    expect(() => daylight({ lat: 91, lon: 0 }, 'UTC', dayOf('2031-06-12'))).toThrow(RangeError);
  });
});
