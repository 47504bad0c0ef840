import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Mixture,
  momentsOf,
  quantileOf,
  shaped,
  shapeOf,
  updated,
} from '../../src/forecast/mixture.ts';

const mean = fc.double({ min: -2, max: 2, noNaN: true });
const sd = fc.double({ min: 0.05, max: 1, noNaN: true });
const mixture: fc.Arbitrary<Mixture> = fc
  .array(fc.record({ weight: fc.double({ min: 0.05, max: 1, noNaN: true }), mean, sd }), {
    minLength: 1,
    maxLength: 3,
  })
  .map((all) => {
    const sum = all.reduce((total, { weight }) => total + weight, 0);
    return all.map((c) => ({ ...c, weight: c.weight / sum }));
  });

/** What a normal with the mixture's own moments believes after one observation of spread `noise`. */
function normalAfter(m: Mixture, seen: number, noise: number) {
  const before = momentsOf(m);
  const variance = 1 / (1 / before.sd ** 2 + 1 / noise ** 2);
  const after = {
    mean: variance * (before.mean / before.sd ** 2 + seen / noise ** 2),
    sd: Math.sqrt(variance),
  };
  return { before, after };
}

const news = (m: Mixture, seen: number, noise: number): Mixture => {
  const { before, after } = normalAfter(m, seen, noise);
  return updated(m, before, after);
};

describe('a mixture of normals', () => {
  // By hand: ½ N(−1, 1) + ½ N(1, 1) has mean 0 and variance 1 + 1.
  it('has the moments worked out by hand', () => {
    const two = [
      { weight: 0.5, mean: -1, sd: 1 },
      { weight: 0.5, mean: 1, sd: 1 },
    ];
    expect(momentsOf(two)).toEqual({ mean: 0, sd: Math.SQRT2 });
  });

  it('has its median in the middle when both sides are alike, and a normal’s quantiles when alone', () => {
    const two = [
      { weight: 0.5, mean: -1, sd: 0.3 },
      { weight: 0.5, mean: 1, sd: 0.3 },
    ];
    expect(quantileOf(two, 0)).toBeCloseTo(0, 9);
    expect(quantileOf([{ weight: 1, mean: 2, sd: 0.5 }], 1.5)).toBeCloseTo(2.75, 9);
    expect(shapeOf([{ weight: 1, mean: 2, sd: 0.5 }])).toBeUndefined();
  });

  // By Bayes's theorem on a grid: prior density times likelihood, added up.
  it('is what Bayes’s theorem gives, added up on a grid', () => {
    fc.assert(
      fc.property(mixture, mean, sd, (m, seen, noise) => {
        const bell = (x: number, at: number, s: number) => Math.exp(-(((x - at) / s) ** 2) / 2) / s;
        let [all, first, second] = [0, 0, 0];
        for (let x = -8; x <= 8; x += 0.002) {
          const prior = m.reduce((sum, c) => sum + c.weight * bell(x, c.mean, c.sd), 0);
          const d = prior * bell(seen, x, noise);
          all += d;
          first += d * x;
          second += d * x * x;
        }
        const found = momentsOf(news(m, seen, noise));
        expect(found.mean).toBeCloseTo(first / all, 6);
        expect(found.sd).toBeCloseTo(Math.sqrt(second / all - (first / all) ** 2), 5);
      }),
      { numRuns: 30 },
    );
  });

  it('moves later in every quantile when the news is slower', () => {
    const z = fc.double({ min: -3, max: 3, noNaN: true });
    fc.assert(
      fc.property(mixture, mean, mean, sd, z, (m, a, b, noise, at) => {
        const early = quantileOf(news(m, Math.min(a, b), noise), at);
        const late = quantileOf(news(m, Math.max(a, b), noise), at);
        expect(late).toBeGreaterThanOrEqual(early - 1e-9);
      }),
    );
  });

  it('stays what it is without news', () => {
    const m = [
      { weight: 0.8, mean: 0, sd: 0.1 },
      { weight: 0.2, mean: 0.5, sd: 0.1 },
    ];
    expect(updated(m, momentsOf(m), momentsOf(m))).toBe(m);
  });

  it('is drawn by its shape: a normal’s draws go to its quantiles', () => {
    fc.assert(
      fc.property(mixture, fc.double({ min: -4, max: 4, noNaN: true }), (m, z) => {
        const shape = shapeOf(m);
        if (shape === undefined) return;
        const { mean: middle, sd: spread } = momentsOf(m);
        const drawn = middle + spread * shaped(shape, z);
        const [low, high] = [quantileOf(m, z - 1 / 16), quantileOf(m, z + 1 / 16)];
        expect(drawn).toBeGreaterThanOrEqual(low - 1e-6);
        expect(drawn).toBeLessThanOrEqual(high + 1e-6);
      }),
    );
  });
});
