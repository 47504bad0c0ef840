import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  lognormalFrom,
  lognormalMoments,
  maxLognormalMoments,
  maxNormalMoments,
  sumLognormals,
} from '../../src/forecast/moments.ts';
import { fillNormals } from '../../src/forecast/random.ts';

const stage = fc.record({
  mu: fc.double({ min: 0, max: 6, noNaN: true }),
  sigma: fc.double({ min: 0.05, max: 0.8, noNaN: true }),
});

describe('lognormals', () => {
  it('go from parameters to moments and back', () => {
    fc.assert(
      fc.property(stage, (x) => {
        const back = lognormalFrom(lognormalMoments(x));
        expect(back.mu).toBeCloseTo(x.mu, 9);
        expect(back.sigma).toBeCloseTo(x.sigma, 9);
      }),
    );
  });

  // Fenton–Wilkinson by its formula, inputs of the CRAN package lognorm's vignette. (The vignette's own
  // 5.3576474 and 0.1499077 are Lo's 2013 approximation, which is another one.)
  it('add up as Fenton and Wilkinson say', () => {
    const sum = sumLognormals([
      { mu: Math.log(110), sigma: 0.25 },
      { mu: Math.log(100), sigma: 0.15 },
    ]);
    const { mean, variance } = lognormalMoments(sum);
    expect(mean).toBeCloseTo(214.62313, 5);
    expect(variance).toBeCloseTo(1063.44159, 4);
    expect(sum.mu).toBeCloseTo(5.3574715, 7);
    expect(sum.sigma).toBeCloseTo(0.1510767, 7);
    expect(Math.abs(sum.mu - 5.3576474), 'close to Lo').toBeLessThan(0.001);
  });
});

describe('the longer of two (merge bias)', () => {
  // Clark 1961, Oper. Res. 9(2) 145–162: check values computed from the published formulas.
  it.each([
    [10, 2, 12, 1, 0, 12.226874, Math.sqrt(1.051421)],
    [60, 10, 75, 15, 0, 77.047317, 12.835983],
    [45, 9, 40, 12, 0, 48.813542, 8.406188],
    [45, 9, 40, 12, 0.5, 47.268211, 9.208533],
    [10, 2, 10, 2, 0, 11.128379, Math.sqrt(2.72676)],
  ])('of normals %d±%d and %d±%d, correlation %d', (m1, s1, m2, s2, rho, mean, sd) => {
    const out = maxNormalMoments(
      { mean: m1, variance: s1 * s1 },
      { mean: m2, variance: s2 * s2 },
      rho,
    );
    expect(out.mean).toBeCloseTo(mean, 5);
    expect(Math.sqrt(out.variance)).toBeCloseTo(sd, 5);
  });

  // Two alike: mean μ + σ/√π, variance σ²(1 − 1/π) (mathoverflow.net 298926).
  it('of two alike is the closed form', () => {
    const out = maxNormalMoments({ mean: 30, variance: 25 }, { mean: 30, variance: 25 });
    expect(out.mean).toBeCloseTo(30 + 5 / Math.sqrt(Math.PI), 9);
    expect(out.variance).toBeCloseTo(25 * (1 - 1 / Math.PI), 9);
  });

  it('of narrow lognormals is Clark’s, which they come close to', () => {
    const x = lognormalFrom({ mean: 1000, variance: 10 ** 2 });
    const y = lognormalFrom({ mean: 1005, variance: 15 ** 2 });
    const exact = maxLognormalMoments(x, y);
    const clark = maxNormalMoments({ mean: 1000, variance: 100 }, { mean: 1005, variance: 225 });
    expect(exact.mean).toBeCloseTo(clark.mean, 1);
    expect(Math.abs(exact.variance / clark.variance - 1)).toBeLessThan(0.03);
  });

  it('of lognormals is what drawing them gives', () => {
    const x = { mu: Math.log(30), sigma: 0.3 };
    const y = { mu: Math.log(25), sigma: 0.45 };
    const z = new Float64Array(2);
    const n = 200_000;
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < n; i++) {
      fillNormals(z, 2, 8, i);
      const longer = Math.max(
        Math.exp(x.mu + x.sigma * (z[0] as number)),
        Math.exp(y.mu + y.sigma * (z[1] as number)),
      );
      sum += longer;
      squares += longer * longer;
    }
    const exact = maxLognormalMoments(x, y);
    const variance = squares / n - (sum / n) ** 2;
    expect(Math.abs(sum / n - exact.mean)).toBeLessThan(4 * Math.sqrt(exact.variance / n));
    expect(Math.abs(variance / exact.variance - 1)).toBeLessThan(0.03);
  });

  it('is at least either, and at most both', () => {
    fc.assert(
      fc.property(stage, stage, (x, y) => {
        const [a, b] = [lognormalMoments(x).mean, lognormalMoments(y).mean];
        const { mean, variance } = maxLognormalMoments(x, y);
        expect(mean).toBeGreaterThanOrEqual(Math.max(a, b) * (1 - 1e-9));
        expect(mean).toBeLessThanOrEqual((a + b) * (1 + 1e-9));
        expect(variance).toBeGreaterThanOrEqual(0);
      }),
    );
  });
});
