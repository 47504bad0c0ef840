import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { finishOf, latestBegin, workBetween, workClock } from '../../src/forecast/work-clock.ts';
import { evenly } from '../helpers/even.ts';
import { at, DAY0_MS, days } from './fixture.ts';

/** Minutes since midnight of the first day; light from 05:00 (300) to 21:30 (1290). */
const clock = workClock(days(3), 2, DAY0_MS);
const time = evenly(-500, 5000);
const work = evenly(0, 3000);

describe('work and wall time', () => {
  it('are the same by day', () => {
    expect(finishOf(clock, 600, 90)).toBe(690);
    expect(workBetween(clock, 600, 690)).toBe(90);
  });

  it('stretch only while it is dark', () => {
    // 30 min to dusk, then 60 more at half speed.
    expect(finishOf(clock, 1260, 90)).toBe(1290 + 120);
    // Dusk to dawn is 450 min of wall and 225 of work; the rest is by day again.
    expect(finishOf(clock, 1290, 225 + 10)).toBe(1740 + 10);
    expect(workBetween(clock, 1260, 1290 + 120)).toBe(90);
  });

  it('begin dark before the first dawn, and stay as they were after the last dusk', () => {
    expect(finishOf(clock, 0, 10)).toBe(20);
    expect(finishOf(clock, 10_000, 10)).toBe(10_020);
  });

  it('know a day without dusk, and one without dawn', () => {
    const day = { startMs: at(0, 7), stopMs: at(0, 20) };
    expect(finishOf(workClock([day], 2, DAY0_MS), 100, 60)).toBe(160);
    expect(finishOf(workClock([{ ...day, darkAllDay: true }], 2, DAY0_MS), 100, 60)).toBe(220);
  });

  it('go backwards exactly', () => {
    fc.assert(
      fc.property(time, work, (from, min) => {
        const end = finishOf(clock, from, min);
        expect(latestBegin(clock, end, min)).toBeCloseTo(from, 6);
        expect(workBetween(clock, from, end)).toBeCloseTo(min, 6);
      }),
    );
  });

  it('keep the order of times and of work', () => {
    fc.assert(
      fc.property(time, time, work, work, (a, b, u, v) => {
        const [early, late] = [Math.min(a, b), Math.max(a, b)];
        expect(finishOf(clock, late, u)).toBeGreaterThanOrEqual(finishOf(clock, early, u) - 1e-9);
        const [less, more] = [Math.min(u, v), Math.max(u, v)];
        expect(finishOf(clock, a, more)).toBeGreaterThanOrEqual(finishOf(clock, a, less) - 1e-9);
      }),
    );
  });

  it('leave pauses out, overlapping ones once', () => {
    const pause = (from: number, to: number) => ({
      fromMs: DAY0_MS + from * 60_000,
      toMs: DAY0_MS + to * 60_000,
    });
    const pauses = [pause(650, 700), pause(620, 660), pause(0, 10), pause(790, 900)];
    expect(workBetween(clock, 600, 800, pauses, DAY0_MS)).toBeCloseTo(200 - 80 - 10, 9);
  });

  it('pass on that there is no end', () => {
    expect(finishOf(clock, Number.POSITIVE_INFINITY, 5)).toBe(Number.POSITIVE_INFINITY);
    expect(latestBegin(clock, Number.NEGATIVE_INFINITY, 5)).toBe(Number.NEGATIVE_INFINITY);
  });
});
