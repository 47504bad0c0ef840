import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { resolveSettings } from '../../src/forecast/defaults.ts';
import { forecast } from '../../src/forecast/forecast.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { leave, type WayOut, wayOut } from '../../src/forecast/way-out.ts';
import { at, DAY0_MS, trip } from './fixture.ts';

/** Three boats a day at 09:00, 14:00 and 18:40; two days. */
const boats = [0, 1].flatMap((d) => [
  { atMs: at(d, 9), last: false },
  { atMs: at(d, 14), last: false },
  { atMs: at(d, 18, 40), last: true },
]);

function way(over: Partial<ForecastInput> = {}): WayOut {
  return wayOut(trip({ nowMs: DAY0_MS, departures: boats, ...over }), resolveSettings({}));
}

const walk = { km: 9, upM: 100, downM: 500 };
const min = (hour: number, minute = 0): number => hour * 60 + minute;

describe('leaving the trailhead', () => {
  it('takes the next boat, five minutes early at the stop', () => {
    expect(leave(way(), min(13, 55), 0)).toEqual({ atMin: min(14), departure: 1 });
    expect(leave(way(), min(13, 56), 0)).toEqual({ atMin: min(18, 40), departure: 2 });
  });

  it('waits for a boat of the same day, though walking were quicker', () => {
    expect(leave(way({ walkOut: walk }), min(14, 1), 150)).toEqual({
      atMin: min(18, 40),
      departure: 2,
    });
  });

  it('walks when the last one is gone, unless the next day’s first is sooner', () => {
    // 19:00, 150 min by day: out at 21:30, just at dusk.
    expect(leave(way({ walkOut: walk }), min(19), 150)).toEqual({
      atMin: min(21, 30),
      departure: -1,
    });
    expect(leave(way({ walkOut: walk }), min(24 + 8), 150)).toEqual({
      atMin: min(33),
      departure: 3,
    });
    expect(leave(way(), min(19), 150)).toEqual({ atMin: min(33), departure: 3 });
  });

  it('walks more slowly in the dark', () => {
    // 21:00 to dusk is 30 min; the other 70 take 98 at 1.4.
    expect(leave(way({ walkOut: walk }), min(21), 100).atMin).toBeCloseTo(min(21, 30) + 98, 9);
  });

  it('has no end when the timetable has none and nobody walks', () => {
    const late = leave(way(), min(48), 0);
    expect(late).toEqual({ atMin: Number.POSITIVE_INFINITY, departure: -1 });
    expect(leave(way({ walkOut: walk }), min(48), 60).departure).toBe(-1);
  });

  it('keeps the order of times', () => {
    const time = fc.double({ min: 0, max: min(50), noNaN: true });
    const length = fc.double({ min: 10, max: 900, noNaN: true });
    fc.assert(
      fc.property(time, time, length, (a, b, w) => {
        const out = (t: number): number => leave(way({ walkOut: walk }), t, w).atMin;
        expect(out(Math.max(a, b))).toBeGreaterThanOrEqual(out(Math.min(a, b)) - 1e-9);
      }),
    );
  });
});

describe('the shuttle in the forecast', () => {
  it('is the last of the planned day, however late the party gets, with the odds and the next day’s', () => {
    const departures = [0, 1, 2, 3, 4, 5].flatMap((d) =>
      boats.slice(0, 3).map((b) => ({ ...b, atMs: b.atMs + d * 86_400_000 })),
    );
    const f = forecast(trip({ departures, walkOut: walk, ascents: 800 }));
    const s = f.shuttle as NonNullable<typeof f.shuttle>;
    const lasts = departures.filter((d) => d.last).map((d) => d.atMs);
    const day = (downDay: number, nowMs = at(0, 6)) =>
      forecast(trip({ departures, walkOut: walk, ascents: 100, downDay, nowMs })).shuttle;
    expect([s.lastMs, day(1)?.lastMs, day(2)?.lastMs]).toEqual(lasts.slice(0, 3));
    expect(s.next?.lastMs).toBe(lasts[1]);
    expect(s.next?.firstMs).toBe(departures[3]?.atMs);
    expect(s.next?.chanceLast).toBeGreaterThanOrEqual(s.chanceLast);
    // When it has gone it is still the planned day's.
    expect(day(0, at(1, 12))).toMatchObject({ lastMs: lasts[0], chanceLast: 0 });
    const cutoff = { id: 'x', kind: 'shuttle', label: 'x', target: 'trailhead' } as const;
    const atMs = s.lastMs - 5 * 60_000;
    const asCutoff = forecast(trip({ ascents: 800, cutoffs: [{ ...cutoff, atMs }] })).cutoffs[0];
    expect(asCutoff?.chance).toBe(s.chanceLast);
    expect(f.boarding?.q50).toBeGreaterThan(f.trailhead.q50);
    expect(s.chanceWalk).toBeGreaterThan(0);
  });

  it('takes the descent by DIN 33466 when it is given as a walk', () => {
    // 8 km and 900 m down: 2 h level, 1.8 h down, so 2 h 54. No load is carried.
    const light = { haulBag: false } as const;
    const walk = { kind: 'walk', km: 8, upM: 0, downM: 900 } as const;
    const walked = forecast(trip({ ...light, descent: walk }));
    const given = forecast(trip({ ...light, descent: { kind: 'given', min: 174 } }));
    expect(walked.trailhead).toEqual(given.trailhead);
  });
});

describe('a load on the way down', () => {
  const walk = { kind: 'walk', km: 4, upM: 0, downM: 650 } as const;
  it('slows the path by its factor, and leaves a time of the party’s own alone', () => {
    const median = (haulBag: boolean, descent: ForecastInput['descent']) => {
      const input = trip({ haulBag, descent });
      return Math.exp(wayOut(input, resolveSettings(input.settings)).descent.mu);
    };
    expect(median(true, walk) / median(false, walk)).toBeCloseTo(1.25, 9);
    const own = { kind: 'given', min: 100 } as const;
    expect(median(true, own)).toBeCloseTo(median(false, own), 9);
  });
});
