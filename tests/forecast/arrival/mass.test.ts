import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  AT_ONCE,
  addAt,
  addUniform,
  convolve,
  cumulativeAt,
  cumulativeOf,
  type DurationMass,
  emptyMass,
  type Grid,
  type ProbabilityMass,
  quantilePlace,
  takeBetween,
  totalMass,
} from '../../../src/forecast/arrival/mass.ts';

const grid: Grid = { stepMin: 5, first: 0, count: 400 };
const shares = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), {
  minLength: 1,
  maxLength: 60,
});

function spreadOf(masses: number[], at = 20): ProbabilityMass {
  const s = emptyMass(grid);
  masses.forEach((m, i) => {
    s.mass[at + i] = m;
  });
  return { ...s, low: at, high: at + masses.length };
}

function stepsOf(values: number[], first: number): DurationMass {
  const sum = values.reduce((a, b) => a + b, 0) || 1;
  const share = new Float64Array(values.length + AT_ONCE);
  values.forEach((v, i) => {
    share[i] = v / sum;
  });
  return { first, count: values.length, share };
}

const mean = ({ mass, low, high }: ProbabilityMass): number => {
  let sum = 0;
  for (let i = low; i < high; i++) sum += i * (mass[i] as number);
  return sum / totalMass({ mass, low, high });
};

describe('a spread', () => {
  it('has what lies at a place at that place on the mean', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 390, noNaN: true }), (place) => {
        const s = emptyMass(grid);
        addAt(s, place, 0.25);
        expect(totalMass(s)).toBeCloseTo(0.25, 12);
        expect(mean(s)).toBeCloseTo(place, 9);
      }),
    );
  });

  it('is even between two places', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 3, max: 200, noNaN: true }),
        fc.double({ min: 0.01, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (from, width, part) => {
          const s = emptyMass(grid);
          addUniform(s, from, from + width, 1);
          expect(totalMass(s)).toBeCloseTo(1, 9);
          // Within a bin it can't be told where.
          expect(Math.abs(cumulativeAt(s, from + part * width) - part)).toBeLessThan(1 / width);
        },
      ),
    );
  });

  it('adds steps as a plain double sum does, and loses nothing', () => {
    fc.assert(
      fc.property(shares, shares, fc.integer({ min: 0, max: 30 }), (masses, values, first) => {
        const from = spreadOf(masses);
        const steps = stepsOf(values, first);
        const to = emptyMass(grid);
        convolve(from, steps, to);
        const plain = new Float64Array(grid.count);
        masses.forEach((m, i) => {
          for (let j = 0; j < steps.count; j++) {
            const at = 20 + i + first + j;
            plain[at] = (plain[at] as number) + m * (steps.share[j] as number);
          }
        });
        expect(totalMass(to)).toBeCloseTo(
          plain.reduce((a, b) => a + b, 0),
          9,
        );
        // What is next to nothing may have moved on by some bins.
        plain.forEach((m, i) => {
          expect(Math.abs((to.mass[i] as number) - m)).toBeLessThan(1e-6);
        });
      }),
    );
  });

  it('keeps the order of times: later before is later after', () => {
    fc.assert(
      fc.property(shares, shares, shares, (masses, values, push) => {
        const total = masses.reduce((a, b) => a + b, 0) || 1;
        const early = spreadOf(masses.map((m) => m / total));
        const late = emptyMass(grid);
        convolve(early, stepsOf(push, 0), late);
        const steps = stepsOf(values, 3);
        const [a, b] = [emptyMass(grid), emptyMass(grid)];
        convolve(early, steps, a);
        convolve(late, steps, b);
        for (let place = 0; place < 200; place++) {
          expect(cumulativeAt(b, place)).toBeLessThanOrEqual(cumulativeAt(a, place) + 1e-6);
        }
      }),
    );
  });

  it('gives back what is taken out between two places', () => {
    fc.assert(
      fc.property(
        shares,
        fc.double({ min: 0, max: 90, noNaN: true }),
        fc.double({ min: 0, max: 90, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (masses, a, b, part) => {
          const s = spreadOf(masses);
          const [from, to] = [Math.min(a, b), Math.max(a, b)];
          const between = cumulativeAt(s, to) - cumulativeAt(s, from);
          const before = totalMass(s);
          expect(takeBetween(s, from, to, part)).toBeCloseTo(part * between, 9);
          expect(totalMass(s)).toBeCloseTo(before - part * between, 9);
        },
      ),
    );
  });

  it('finds the place of a chance and the chance of a place', () => {
    fc.assert(
      fc.property(shares, fc.double({ min: 0.001, max: 0.999, noNaN: true }), (masses, p) => {
        const total = masses.reduce((a, b) => a + b, 0);
        fc.pre(total > 0.01);
        const s = spreadOf(masses.map((m) => m / total));
        expect(cumulativeAt(s, quantilePlace(s, p))).toBeCloseTo(p, 9);
        for (let place = 0; place < 90; place += 0.7) {
          expect(cumulativeOf(s)(place)).toBeCloseTo(cumulativeAt(s, place), 9);
        }
        expect(quantilePlace(s, 1.001)).toBe(Number.POSITIVE_INFINITY);
      }),
    );
    expect(quantilePlace(emptyMass(grid), 0.5)).toBe(Number.POSITIVE_INFINITY);
  });
});
