import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  cholesky,
  type MultivariateNormal,
  type Observation,
  posteriorOf,
} from '../../src/forecast/pace.ts';

const one = (mean: number, sd: number): MultivariateNormal => ({
  mean: [mean],
  covariance: [[sd * sd]],
});
const seen = (logRatio: number, sigma: number, weights = [1]): Observation => {
  return { logRatio, sigma, weights };
};
const diagonal = (sds: number[]): MultivariateNormal => ({
  mean: sds.map(() => 0),
  covariance: sds.map((s, i) => sds.map((_, j) => (i === j ? s * s : 0))),
});

describe('learning pace', () => {
  // Bayes Rules!, chapter 5 (r4ds.github.io/bookclub-bayes_rules/normal-model.html): prior N(6.5, 0.4²),
  // σ 0.5, n = 25, ȳ = 5.735 gives 5.78 and 0.009411765.
  it('is the published normal–normal update', () => {
    const all = Array.from({ length: 25 }, (_, i) => seen(5.735 + (i - 12) / 50, 0.5));
    const { mean, covariance } = posteriorOf(one(6.5, 0.4), all, Number.POSITIVE_INFINITY);
    expect(mean[0]).toBeCloseTo(5.78, 9);
    expect(covariance[0]?.[0]).toBeCloseTo(0.009411765, 9);
    expect(Math.sqrt(covariance[0]?.[0] as number)).toBeCloseTo(0.09701425, 8);
  });

  it('is the same whatever the order', () => {
    const a = [
      seen(0.3, 0.2, [1, 0.6, 0]),
      seen(-0.1, 0.3, [1, 0, 0.6]),
      seen(0.5, 0.2, [1, 0, 0.7]),
    ];
    const first = posteriorOf(diagonal([0.3, 0.15, 0.15]), a, 1.5);
    const second = posteriorOf(diagonal([0.3, 0.15, 0.15]), [...a].reverse(), 1.5);
    first.mean.forEach((m, i) => {
      expect(m).toBeCloseTo(second.mean[i] as number, 9);
    });
  });

  it('projects a party that is 1.4 times slow as slow, with less doubt as pitches come in', () => {
    const slow = (n: number): MultivariateNormal =>
      posteriorOf(
        one(0, 0.3),
        Array.from({ length: n }, () => seen(Math.log(1.4), 0.25)),
        1.5,
      );
    const factors = [0, 1, 3, 8, 20].map((n) => Math.exp(slow(n).mean[0] as number));
    expect(factors).toEqual([...factors].sort((a, b) => a - b));
    expect(factors.at(-1)).toBeGreaterThan(1.37);
    const doubt = [0, 1, 3, 8, 20].map((n) => slow(n).covariance[0]?.[0] as number);
    expect(doubt).toEqual([...doubt].sort((a, b) => b - a));
  });

  it('pools: what all leaders share is the party’s, what one adds is the leader’s', () => {
    const prior = diagonal([0.3, 0.15, 0.15]);
    const mara = seen(0.4, 0.2, [1, 0.7, 0]);
    const jonas = seen(0.4, 0.2, [1, 0, 0.7]);
    const both = posteriorOf(prior, [mara, jonas, mara, jonas], Number.POSITIVE_INFINITY).mean;
    expect(both[0]).toBeGreaterThan(0.25);
    expect(both[1]).toBeCloseTo(both[2] as number, 9);
    const quick = { ...jonas, logRatio: -0.2 };
    const apart = posteriorOf(prior, [mara, quick, mara, quick], Number.POSITIVE_INFINITY).mean;
    expect(apart[1]).toBeGreaterThan(0.05);
    expect(apart[2]).toBeLessThan(-0.05);
    // A leader who never led is taken for the party, not for nobody.
    const alone = posteriorOf(prior, [mara, mara], Number.POSITIVE_INFINITY).mean;
    expect(alone[2]).toBeCloseTo(0, 12);
    expect(alone[0]).toBeGreaterThan(alone[1] as number);
  });

  it('isn’t wrecked by a stuck bag', () => {
    const usual = Array.from({ length: 8 }, (_, i) => seen(0.1 + (i % 2 ? 0.1 : -0.1), 0.25));
    const stuck = seen(Math.log(5), 0.25);
    const before = posteriorOf(one(0, 0.3), usual, 1.5).mean[0] as number;
    const after = posteriorOf(one(0, 0.3), [...usual, stuck], 1.5).mean[0] as number;
    const plain = posteriorOf(one(0, 0.3), [...usual, stuck], Number.POSITIVE_INFINITY)
      .mean[0] as number;
    expect(plain - before).toBeGreaterThan(0.12);
    expect(after - before).toBeLessThan(0.06);
    expect(after).toBeGreaterThan(before);
    // Ten times longer stuck changes nothing more.
    const worse = posteriorOf(one(0, 0.3), [...usual, seen(Math.log(50), 0.25)], 1.5)
      .mean[0] as number;
    expect(worse).toBeCloseTo(after, 9);
  });

  it('believes a first pitch that is far off, because nothing contradicts it', () => {
    const mean = posteriorOf(one(0, 0.3), [seen(Math.log(2), 0.25)], 1.5).mean[0] as number;
    expect(Math.exp(mean)).toBeGreaterThan(1.4);
  });

  it('never gets quicker from a slower pitch, and is no less sure', () => {
    const ratio = fc.double({ min: -2, max: 2, noNaN: true });
    fc.assert(
      fc.property(fc.array(ratio, { minLength: 1, maxLength: 10 }), ratio, ratio, (all, a, b) => {
        const with_ = (x: number): MultivariateNormal =>
          posteriorOf(one(0, 0.3), [...all.map((y) => seen(y, 0.25)), seen(x, 0.2)], 1.5);
        const [low, high] = [with_(Math.min(a, b)), with_(Math.max(a, b))];
        expect(high.mean[0]).toBeGreaterThanOrEqual((low.mean[0] as number) - 1e-9);
        expect(high.covariance).toEqual(low.covariance);
      }),
    );
  });
});

describe('the triangle of a covariance', () => {
  it('gives the covariance back', () => {
    const entry = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(fc.array(entry, { minLength: 4, maxLength: 4 }), { minLength: 4, maxLength: 4 }),
        (rows) => {
          const matrix = rows.map((a) =>
            rows.map((b) => a.reduce((s, x, i) => s + x * (b[i] as number), 0)),
          );
          const lower = cholesky(matrix);
          matrix.forEach((row, i) => {
            row.forEach((value, j) => {
              const back = (lower[i] as number[]).reduce(
                (s, x, q) => s + x * (lower[j]?.[q] as number),
                0,
              );
              expect(Math.abs(back - value)).toBeLessThan(1e-5);
            });
          });
        },
      ),
    );
  });
});
