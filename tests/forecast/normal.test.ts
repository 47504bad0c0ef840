import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  normalCdf,
  normalQuantile,
  normalSurvival,
  truncatedNormal,
} from '../../src/forecast/normal.ts';

describe('the normal distribution', () => {
  // NIST/SEMATECH e-Handbook 1.3.6.7.1 and the usual tables of the normal distribution.
  it.each([
    [0, 0.5],
    [1, 0.841345],
    [1.28, 0.899727],
    [1.96, 0.975002],
    [2.33, 0.990097],
    [3, 0.99865],
  ])('has the tabled cumulative share at %d', (z, p) => {
    expect(normalCdf(z)).toBeCloseTo(p, 6);
    expect(normalCdf(-z)).toBeCloseTo(1 - p, 6);
  });

  // Wichura 1988, Applied Statistics 37: the test values printed with algorithm AS 241.
  it.each([
    [0.25, -0.6744897501960817],
    [0.001, -3.090232306167814],
    [1e-20, -9.262340089798409],
  ])('has the printed quantile of %d', (p, z) => {
    expect(normalQuantile(p)).toBeCloseTo(z, 12);
  });

  // PERT check of reference networks: P(T ≤ 55), mean 50.83, variance 11.194 (wizedu.com 717873);
  // P(T ≤ 25) and P(T ≤ 30), mean 26, variance 4.11 (studyxapp.com).
  it('gives the published chances of the PERT examples', () => {
    expect(normalCdf((55 - (50 + 5 / 6)) / Math.sqrt(11.194))).toBeCloseTo(0.8935, 4);
    expect(normalCdf((25 - 26) / Math.sqrt(4.11))).toBeCloseTo(0.311, 3);
    expect(normalCdf((30 - 26) / Math.sqrt(4.11))).toBeCloseTo(0.976, 3);
  });

  it('keeps its precision far out', () => {
    // Abramowitz and Stegun, table 26.2: Q(10) = 7.61985e-24.
    expect(normalSurvival(10) / 7.61985302416e-24).toBeCloseTo(1, 9);
    expect(normalSurvival(3 - 1e-9) / normalSurvival(3 + 1e-9)).toBeCloseTo(1, 7);
  });

  it('goes back and forth', () => {
    fc.assert(
      fc.property(fc.double({ min: -8, max: 8, noNaN: true }), (z) => {
        const back = z < 0 ? normalQuantile(normalCdf(z)) : -normalQuantile(normalSurvival(z));
        expect(Math.abs(back - z)).toBeLessThan(1e-9);
      }),
    );
  });

  it('moves beyond a limit, in order of limit and luck', () => {
    const limit = fc.double({ min: -6, max: 60, noNaN: true });
    const luck = fc.double({ min: -4, max: 4, noNaN: true });
    const beyond = (z: number, above: number): number =>
      truncatedNormal(z, above, normalSurvival(above));
    fc.assert(
      fc.property(limit, limit, luck, luck, (a, b, u, v) => {
        const [low, high] = [Math.min(a, b), Math.max(a, b)];
        expect(beyond(u, low)).toBeGreaterThanOrEqual(low);
        expect(beyond(u, high)).toBeGreaterThanOrEqual(beyond(u, low) - 1e-9);
        expect(beyond(Math.max(u, v), low)).toBeGreaterThanOrEqual(
          beyond(Math.min(u, v), low) - 1e-9,
        );
      }),
    );
    expect(beyond(1.3, Number.NEGATIVE_INFINITY)).toBe(1.3);
  });

  // Mean of a normal beyond a limit: density / upper tail (Johnson, Kotz and Balakrishnan 1994, 13.10).
  it('has the mean of the truncated normal', () => {
    let sum = 0;
    const n = 20_000;
    for (let i = 0; i < n; i++) {
      sum += truncatedNormal(normalQuantile((i + 0.5) / n), 1, normalSurvival(1));
    }
    expect(sum / n).toBeCloseTo(0.24197072 / 0.15865525, 3);
  });
});
