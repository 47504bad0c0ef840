import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { walkMin } from '../../../src/forecast/walking/din33466.ts';
import { naismithMin, sortDescent } from '../../../src/forecast/walking/naismith.ts';
import { toblerKmH, toblerMin } from '../../../src/forecast/walking/tobler.ts';

describe('DIN 33466', () => {
  it.each([
    // bergwelten.com/a/berg-know-how-wie-lange-geht-s-noch
    { km: 8, upM: 900, downM: 0, hours: 4 },
    // bergkind.at/2018/11/01/wegzeit-berechnen-2
    { km: 8, upM: 1200, downM: 0, hours: 5 },
    // frbcesab.github.io/rutils, hiking_time
    { km: 20, upM: 1460, downM: 1460, hours: 10.2867 },
  ])('walks $km km, $upM m up, $downM m down in $hours h', ({ km, upM, downM, hours }) => {
    expect(walkMin({ km, upM, downM }) / 60).toBeCloseTo(hours, 4);
  });

  it('takes nothing for nowhere, and refuses a negative figure', () => {
    expect(walkMin({ km: 0, upM: 0, downM: 0 })).toBe(0);
    expect(() => walkMin({ km: -1, upM: 0, downM: 0 })).toThrow(RangeError);
    expect(() => walkMin({ km: 1, upM: Number.NaN, downM: 0 })).toThrow(RangeError);
  });

  it('never gets shorter with more distance, ascent or descent, and is never below either part', () => {
    const metres = fc.double({ min: 0, max: 3000, noNaN: true });
    const km = fc.double({ min: 0, max: 40, noNaN: true });
    fc.assert(
      fc.property(km, metres, metres, km, metres, metres, (k, u, d, k2, u2, d2) => {
        const base = walkMin({ km: k, upM: u, downM: d });
        expect(walkMin({ km: k + k2, upM: u + u2, downM: d + d2 })).toBeGreaterThanOrEqual(base);
        expect(base).toBeGreaterThanOrEqual(Math.max(k * 15, u / 5 + (d * 3) / 25) - 1e-9);
      }),
    );
  });
});

describe("Naismith's rule with Langmuir's corrections", () => {
  it.each([
    // outdoorsireland.blogspot.com/2007/09: 1 km with ten contours
    { km: 1, upM: 100, min: 22 },
    // exl.pages.dev/Naismith's_Rule (Wikipedia copy): the strict rule for 20 km + 1,000 m
    { km: 20, upM: 1000, min: 340 },
  ])('walks $km km with $upM m up in $min min', ({ km, upM, min }) => {
    expect(naismithMin({ km, upM, downM: 0 })).toBeCloseTo(min, 9);
  });

  it('takes ten minutes off a gentle 300 m down and adds them to a steep one', () => {
    // Rule docsbay.net/naismiths-rule; the example is worked by hand: 120 + 45 − 10 + 5.
    const walk = { km: 10, upM: 450, downM: 450 };
    expect(naismithMin(walk, { gentleM: 300, steepM: 150 })).toBeCloseTo(160, 9);
  });

  it('sorts a descent at 5° and 12°', () => {
    expect(sortDescent(80, 1)).toEqual({ gentleM: 0, steepM: 0 });
    expect(sortDescent(90, 1)).toEqual({ gentleM: 90, steepM: 0 });
    expect(sortDescent(212, 1)).toEqual({ gentleM: 212, steepM: 0 });
    expect(sortDescent(213, 1)).toEqual({ gentleM: 0, steepM: 213 });
  });
});

describe("Tobler's hiking function", () => {
  // Wikipedia, "Tobler's hiking function", table of speeds, third decimal recomputed from the formula.
  it.each([
    [0, 5.037],
    [5, 3.708],
    [10, 2.717],
    [20, 1.409],
    [-2.86, 5.999],
    [-5, 5.262],
    [-10, 3.856],
    [-20, 1.999],
  ])('walks a slope of %d° at %d km/h', (deg, kmH) => {
    expect(toblerKmH(Math.tan((deg * Math.PI) / 180))).toBeCloseTo(kmH, 3);
    expect(toblerKmH(Math.tan((deg * Math.PI) / 180), true)).toBeCloseTo(kmH * 0.6, 3);
  });

  it('adds up the legs of a profile', () => {
    expect(toblerMin([{ km: 5.037, riseM: 0 }])).toBeCloseTo(60, 1);
    expect(
      toblerMin([
        { km: 2, riseM: 100 },
        { km: 2, riseM: -100 },
      ]),
    ).toBeCloseTo(toblerMin([{ km: 2, riseM: 100 }]) + toblerMin([{ km: 2, riseM: -100 }]), 9);
    expect(() => toblerMin([{ km: 0, riseM: 5 }])).toThrow(RangeError);
  });
});

describe('the rules held against one another', () => {
  it('agree within a factor of 2.2 on ordinary approaches', () => {
    // Independent published rules of one thing; a slip in a unit would show as 3x or 60x.
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 0.25, noNaN: true }),
        (km, slope) => {
          const upM = km * 1000 * slope;
          const din = walkMin({ km, upM, downM: 0 });
          for (const other of [
            naismithMin({ km, upM, downM: 0 }),
            toblerMin([{ km, riseM: upM }]),
          ]) {
            expect(din / other).toBeGreaterThan(1 / 2.2);
            expect(din / other).toBeLessThan(2.2);
          }
        },
      ),
    );
  });
});
