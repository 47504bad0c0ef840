import { describe, expect, it } from 'vitest';
import { forecastDays } from '../../../src/forecast/daylight/days.ts';

const iso = (ms: number | undefined) => ms && new Date(ms).toISOString().slice(0, 16);
const start = { hour: 6, minute: 0 };
const plan = { zone: 'Europe/Oslo', start, stop: { hour: 21, minute: 30 } };

describe('the days of a trip', () => {
  it('keep the wall clock across a clock change', () => {
    // tz database, file europe: forward on 30 March 2031 at 01:00 UTC.
    const days = forecastDays({ ...plan, firstDay: { year: 2031, month: 3, day: 29 }, count: 3 });
    expect(days.map(({ startMs, stopMs }) => [iso(startMs), iso(stopMs)])).toEqual([
      ['2031-03-29T05:00', '2031-03-29T20:30'],
      ['2031-03-30T04:00', '2031-03-30T19:30'],
      ['2031-03-31T04:00', '2031-03-31T19:30'],
    ]);
    expect(days[0]).not.toHaveProperty('dawnMs');
  });

  it('stop after midnight when the stop is earlier than the start', () => {
    const late = { ...plan, stop: { hour: 1, minute: 0 } };
    const [day] = forecastDays({ ...late, firstDay: { year: 2031, month: 6, day: 12 }, count: 1 });
    expect(iso(day?.stopMs)).toBe('2031-06-12T23:00');
    const gap = { ...plan, stop: { hour: 2, minute: 30 } };
    const [spring] = forecastDays({
      ...gap,
      firstDay: { year: 2031, month: 3, day: 29 },
      count: 1,
    });
    expect(iso(spring?.stopMs)).toBe('2031-03-30T01:00');
  });

  it('have dawn and dusk where the sun crosses 6° below, and say when it is dark all day', () => {
    const of = (lat: number, month: number) =>
      forecastDays({
        ...{ ...plan, place: { lat, lon: 10 }, count: 1 },
        firstDay: { year: 2031, month, day: 21 },
      })[0]!;
    expect(of(59, 3).dawnMs).toBeLessThan(of(59, 3).duskMs!);
    expect(of(68, 6)).not.toHaveProperty('duskMs');
    expect(of(68, 6)).not.toHaveProperty('darkAllDay');
    expect(of(80, 12)).toMatchObject({ darkAllDay: true });
  });

  it('may start at a time of their own', () => {
    const days = forecastDays({
      zone: 'UTC',
      firstDay: { year: 2031, month: 6, day: 12 },
      count: 3,
      start: { hour: 6, minute: 0 },
      starts: [undefined, { hour: 9, minute: 30 }],
      stop: { hour: 21, minute: 0 },
    });
    expect(days.map((d) => new Date(d.startMs).toISOString().slice(5, 16))).toEqual([
      '06-12T06:00',
      '06-13T09:30',
      '06-14T06:00',
    ]);
    expect(days.map((d) => new Date(d.stopMs).getUTCHours())).toEqual([21, 21, 21]);
  });
});
