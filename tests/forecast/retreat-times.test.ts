import { describe, expect, it } from 'vitest';
import { resolveSettings } from '../../src/forecast/defaults.ts';
import { chanceBy, rappelsMin, retreatTimes } from '../../src/forecast/retreat-times.ts';
import { workClock } from '../../src/forecast/work-clock.ts';

const SETTINGS = resolveSettings({});
const PAIR = { party: 2, bag: false, walkMin: undefined };
/** Light for the first so many hours, then dark. */
const lightFor = (hours: number) =>
  workClock(
    [{ startMs: 0, stopMs: 0, dawnMs: -1, duskMs: hours * 3_600_000 }],
    SETTINGS.darkDescentFactor,
    0,
  );

describe('how long a way down by rappel takes', () => {
  // Two trip reports of whole-route rappels, 606 m: 2.5 h by day (a rope stuck once), some 3.5 h at night.
  // With 60 m ropes that is 12 to 15 rappels; the count is assumed.
  it.each([
    ['by day', 24, 150],
    ['at night', 0, 210],
  ])('606 m %s as two parties took it', (_when, lightH, took) => {
    const of = (rappels: number) =>
      retreatTimes({ ...PAIR, rappels }, SETTINGS, lightFor(lightH), 0);
    expect(of(12).ground.q50).toBeLessThan(took);
    expect(of(15).ground.q50).toBeGreaterThan(took);
    expect(of(13).ground.q90).toBeGreaterThan(took);
  });

  // A quarter to a third of the ascent for two experienced people
  // (www3.sympatico.ca/bob.bennell/retreat.htm), the ascent at 45 min a pitch (a guide's time plan).
  it('is a quarter to a third of the ascent', () => {
    const share = rappelsMin({ ...PAIR, rappels: 12 }, SETTINGS) / (12 * 45);
    expect(share).toBeGreaterThan(0.24);
    expect(share).toBeLessThan(1 / 3);
  });

  it('is longer for more people, a bag, the dark; never shorter when begun later', () => {
    const day = lightFor(3);
    const q50 = (work: object, from = 0) =>
      retreatTimes({ ...PAIR, rappels: 10, ...work }, SETTINGS, day, from).ground.q50;
    expect(q50({ party: 4 })).toBeGreaterThan(q50({ party: 3 }));
    expect(q50({ bag: true })).toBeGreaterThan(q50({}));
    for (let from = 0; from < 300; from += 20) {
      expect(q50({}, from + 20)).toBeGreaterThanOrEqual(q50({}, from));
      expect(q50({}, from + 20) - (from + 20)).toBeGreaterThanOrEqual(q50({}, from) - from - 1e-9);
    }
  });

  it('a later hour never improves the light: whoever is down before dark would have been, begun sooner', () => {
    for (const duskH of [1, 3, 6]) {
      const lit = (from: number) => {
        const { ground } = retreatTimes({ ...PAIR, rappels: 10 }, SETTINGS, lightFor(duskH), from);
        return [ground.q10, ground.q50, ground.q90].filter((min) => min <= duskH * 60).length;
      };
      for (let from = 0; from < 480; from += 15)
        expect(lit(from + 15)).toBeLessThanOrEqual(lit(from));
    }
  });

  it('its chance is a half at the median and nine in ten at the cautious time', () => {
    const work = { ...PAIR, rappels: 9, walkMin: 40 };
    const { stop } = retreatTimes(work, SETTINGS, lightFor(1), 0);
    if (stop === undefined) throw new Error('no stop');
    expect(chanceBy(work, SETTINGS, lightFor(1), 0, stop.q50)).toBeCloseTo(0.5, 6);
    expect(chanceBy(work, SETTINGS, lightFor(1), 0, stop.q90)).toBeCloseTo(0.9, 6);
    expect(chanceBy(work, SETTINGS, lightFor(1), 0, 0)).toBe(0);
  });
});
