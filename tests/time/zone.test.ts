import fc from 'fast-check';
import { DateTime } from 'luxon';
import { afterEach, describe, expect, it, vi } from 'vitest';
import {
  addLocalDays,
  daysBetween,
  firstInstantOf,
  gapEdges,
  instantsOf,
  isCalendarDay,
  isZone,
  localDay,
  resolveLocal,
  wallTime,
  weekdayOf,
} from '../../src/time/zone.ts';

// Clock changes below are from the IANA tz database (files europe, northamerica, australasia, africa,
// southamerica, asia), as the JavaScript engine carries it.

function wall(text: string) {
  const [year, month, day, hour, minute] = text.split(/[-T :]/).map(Number);
  return { year: year!, month: month!, day: day!, hour: hour ?? 0, minute: minute ?? 0 };
}
const iso = (ms: number) => new Date(ms).toISOString().slice(0, 16);

const ORDINARY: [string, string, string][] = [
  ['Europe/Oslo', '2031-06-12 14:32', '2031-06-12T12:32'],
  ['Europe/Oslo', '2031-01-12 14:32', '2031-01-12T13:32'],
  ['Asia/Kathmandu', '2025-05-01 06:00', '2025-05-01T00:15'],
  ['Asia/Kolkata', '2025-05-01 06:00', '2025-05-01T00:30'],
  ['Australia/Eucla', '2025-05-01 06:00', '2025-04-30T21:15'],
  ['Pacific/Kiritimati', '2025-05-01 06:00', '2025-04-30T16:00'],
  ['Pacific/Pago_Pago', '2025-05-01 06:00', '2025-05-01T17:00'],
];

const GAPS: [string, string, string, string, string][] = [
  // zone, missing time, last before, first after, instant of the change
  ['Europe/London', '2021-03-28 01:30', '00:59', '02:00', '2021-03-28T01:00'],
  ['Europe/Oslo', '2031-03-30 02:30', '01:59', '03:00', '2031-03-30T01:00'],
  ['America/New_York', '2025-03-09 02:00', '01:59', '03:00', '2025-03-09T07:00'],
  // Half an hour only.
  ['Australia/Lord_Howe', '2025-10-05 02:15', '01:59', '02:30', '2025-10-04T15:30'],
  // At midnight: the day begins at one.
  ['America/Sao_Paulo', '2018-11-04 00:30', '23:59', '01:00', '2018-11-04T03:00'],
  ['Africa/Cairo', '2024-04-26 00:30', '23:59', '01:00', '2024-04-25T22:00'],
  // A whole day, when Samoa crossed the date line.
  ['Pacific/Apia', '2011-12-30 12:00', '23:59', '00:00', '2011-12-30T10:00'],
];

const DOUBLED: [string, string, string, string][] = [
  ['Europe/London', '2021-10-31 01:45', '2021-10-31T00:45', '2021-10-31T01:45'],
  ['Europe/Oslo', '2031-10-26 02:30', '2031-10-26T00:30', '2031-10-26T01:30'],
  ['America/New_York', '2025-11-02 01:00', '2025-11-02T05:00', '2025-11-02T06:00'],
  ['Australia/Lord_Howe', '2025-04-06 01:45', '2025-04-05T14:45', '2025-04-05T15:15'],
  ['America/Sao_Paulo', '2018-02-17 23:15', '2018-02-18T01:15', '2018-02-18T02:15'],
  ['Africa/Cairo', '2024-10-31 23:30', '2024-10-31T20:30', '2024-10-31T21:30'],
];

const TZS = ['UTC', 'America/Los_Angeles', 'Pacific/Apia', 'Australia/Lord_Howe'];
const NOWS = ['2021-07-01T00:00:00Z', '2021-12-01T00:00:00Z', '2031-10-26T01:15:00Z'];
const tzBefore = process.env.TZ;

afterEach(() => {
  vi.useRealTimers();
  if (tzBefore === undefined) delete process.env.TZ;
  else process.env.TZ = tzBefore;
});

describe.each(TZS.flatMap((tz) => NOWS.map((now) => [tz, now] as const)))(
  'with the machine in %s at %s',
  (tz, now) => {
    const settle = () => {
      process.env.TZ = tz;
      vi.useFakeTimers({ toFake: ['Date'], now: new Date(now) });
    };

    it.each(ORDINARY)('%s %s is one instant', (zone, text, utc) => {
      settle();
      expect(instantsOf(zone, wall(text)).map(iso)).toEqual([utc]);
    });

    it.each(GAPS)('%s %s does not exist', (zone, text, before, after, change) => {
      settle();
      expect(instantsOf(zone, wall(text))).toEqual([]);
      const resolved = resolveLocal(zone, wall(text), 'earlier');
      if (resolved.ok || resolved.reason !== 'gap') throw new Error('expected a gap');
      const show = ({ hour, minute }: { hour: number; minute: number }) =>
        `${String(hour).padStart(2, '0')}:${String(minute).padStart(2, '0')}`;
      expect(show(resolved.gap.lastBefore)).toBe(before);
      expect(show(resolved.gap.firstAfter)).toBe(after);
      expect(iso(resolved.gap.changeMs)).toBe(change);
      expect(firstInstantOf(zone, wall(text))).toBe(resolved.gap.changeMs);
    });

    it.each(DOUBLED)('%s %s happens twice', (zone, text, first, second) => {
      settle();
      const both = instantsOf(zone, wall(text));
      expect(both.map(iso)).toEqual([first, second]);
      expect(resolveLocal(zone, wall(text), 'earlier')).toMatchObject({ atMs: both[0] });
      expect(resolveLocal(zone, wall(text), 'later')).toMatchObject({ atMs: both[1] });
      expect(resolveLocal(zone, wall(text), 'reject')).toEqual({
        ok: false,
        reason: 'doubled',
        earlierMs: both[0],
        laterMs: both[1],
      });
      expect(gapEdges(zone, wall(text))).toBeUndefined();
    });
  },
);

const someZone = fc.constantFrom(
  ...['Europe/Oslo', 'Europe/London', 'America/New_York', 'America/St_Johns', 'Africa/Cairo'],
  ...['America/Sao_Paulo', 'Australia/Lord_Howe', 'Asia/Kathmandu', 'Pacific/Apia', 'UTC'],
  ...['Africa/Casablanca', 'America/Santiago', 'Pacific/Chatham', 'Asia/Tehran', 'Europe/Dublin'],
);
const someMinute = fc
  .integer({ min: Date.UTC(1990, 0, 1) / 60_000, max: Date.UTC(2037, 11, 31) / 60_000 })
  .map((min) => min * 60_000);

describe('zones at large', () => {
  it('every instant is found again from what the wall shows', () => {
    fc.assert(
      fc.property(someZone, someMinute, (zone, ms) => {
        expect(instantsOf(zone, wallTime(zone, ms))).toContain(ms);
      }),
      { numRuns: 3000 },
    );
  });

  it('shows what luxon shows for an instant', () => {
    fc.assert(
      fc.property(someZone, someMinute, (zone, ms) => {
        const theirs = DateTime.fromMillis(ms, { zone });
        expect(wallTime(zone, ms)).toEqual({
          year: theirs.year,
          month: theirs.month,
          day: theirs.day,
          hour: theirs.hour,
          minute: theirs.minute,
          second: theirs.second,
          offsetMin: theirs.offset,
          weekday: theirs.weekday,
        });
      }),
      { numRuns: 1000 },
    );
  });

  it('counts calendar days without regard to clock changes', () => {
    expect(addLocalDays({ year: 2031, month: 2, day: 28 }, 1)).toEqual(wallDay('2031-03-01'));
    expect(addLocalDays({ year: 2032, month: 3, day: 1 }, -1)).toEqual(wallDay('2032-02-29'));
    expect(weekdayOf({ year: 2031, month: 6, day: 12 })).toBe(4);
    expect(localDay('Pacific/Apia', Date.UTC(2011, 11, 30, 10))).toEqual(wallDay('2011-12-31'));
    fc.assert(
      fc.property(someMinute, fc.integer({ min: -800, max: 800 }), (ms, days) => {
        const day = localDay('UTC', ms);
        expect(daysBetween(day, addLocalDays(day, days))).toBe(days);
      }),
    );
  });

  it('knows zone names and calendar days', () => {
    expect(['Europe/Oslo', 'UTC', 'America/Argentina/Ushuaia'].every(isZone)).toBe(true);
    expect(['Oslo', '', '+02:00', 'Europe/Nowhere', 'local'].some(isZone)).toBe(false);
    expect(isCalendarDay({ year: 2031, month: 6, day: 31 })).toBe(false);
    expect(isCalendarDay({ year: 2032, month: 2, day: 29 })).toBe(true);
    expect(() => instantsOf('UTC', wall('2031-06-31 10:00'))).toThrow(RangeError);
    expect(() => instantsOf('UTC', wall('2031-06-30 24:00'))).toThrow(RangeError);
    expect(() => wallTime('Europe/Nowhere', 0)).toThrow(RangeError);
  });
});

function wallDay(text: string) {
  const { year, month, day } = wall(text);
  return { year, month, day };
}
