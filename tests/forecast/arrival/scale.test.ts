import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scaleByNights, toWall, toWork, workScale } from '../../../src/forecast/arrival/scale.ts';
import { finishOf, workBetween, workClock } from '../../../src/forecast/work-clock.ts';
import { at, days, MIN_MS } from '../fixture.ts';

const clock = workClock(days(5), 1.5, at(0, 12));
const dark = workClock([{ startMs: 0, stopMs: 1, darkAllDay: true }], 1.5, 0);
const minute = fc.double({ min: -900, max: 6000, noNaN: true });
const work = fc.double({ min: 0, max: 3000, noNaN: true });

describe('work as a scale', () => {
  it.each([
    ['with nights', clock],
    ['in the polar night', dark],
  ])('adds where the clock is asked step by step: %s', (_, one) => {
    const scale = workScale(one, -300);
    expect(toWork(scale, -300)).toBeCloseTo(0, 9);
    fc.assert(
      fc.property(minute, work, (from, min) => {
        const end = finishOf(one, from, min);
        expect(toWork(scale, end) - toWork(scale, from)).toBeCloseTo(min, 6);
        expect(toWork(scale, end) - toWork(scale, from)).toBeCloseTo(
          workBetween(one, from, end),
          6,
        );
        expect(toWall(scale, toWork(scale, end))).toBeCloseTo(end, 6);
      }),
    );
    expect(toWork(scale, Number.POSITIVE_INFINITY)).toBe(Number.POSITIVE_INFINITY);
    expect(toWall(scale, Number.POSITIVE_INFINITY)).toBe(Number.POSITIVE_INFINITY);
  });

  it('has every day begin on a whole step, and is nowhere more than a step off', () => {
    const stepMin = 7.3;
    const spans = days(5);
    const min = (ms: number): number => (ms - at(0, 12)) / MIN_MS;
    const nights = spans.slice(1).map((day, d) => ({
      fromMin: min(spans[d]?.stopMs as number),
      toMin: min(day.startMs),
    }));
    const scale = scaleByNights(clock, -300, nights, stepMin);
    for (const { toMin } of nights) {
      const steps = toWork(scale, toMin) / stepMin;
      expect(steps).toBeCloseTo(Math.round(steps), 6);
    }
    fc.assert(
      fc.property(minute, (from) => {
        const days = 1 + nights.length;
        const plain = toWork(workScale(clock, -300), from);
        expect(Math.abs(toWork(scale, from) - plain)).toBeLessThan((days * stepMin) / 2);
        expect(toWall(scale, toWork(scale, from))).toBeCloseTo(from, 6);
      }),
    );
  });

  it('leaves a night alone that has no length', () => {
    const scale = scaleByNights(clock, 0, [{ fromMin: 100, toMin: 100 }], 7.3);
    expect(toWork(scale, 450)).toBe(toWork(workScale(clock, 0), 450));
  });
});
