import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quantilesOf, rankOf } from '../../src/forecast/quantiles.ts';

const SHARES = [0, 0.1, 0.5, 0.9, 1];

function sorted(values: number[]): number[] {
  const all = [...values].sort((a, b) => a - b);
  return SHARES.map((p) => all[rankOf(p, all.length)] as number);
}

describe('quantiles', () => {
  it('are the nearest ranks of the sorted values, with ties and without an end', () => {
    const value = fc.oneof(
      // Minus nought becomes nought: the two are one value, and which of them is picked doesn't matter.
      fc.double({ min: -1e6, max: 1e6, noNaN: true }).map((v) => v + 0),
      fc.integer({ min: 0, max: 5 }),
      fc.constant(Number.POSITIVE_INFINITY),
    );
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 3000 }), (values) => {
        const before = Float64Array.from(values);
        expect(quantilesOf(before, SHARES)).toEqual(sorted(values));
        expect([...before]).toEqual(values);
      }),
      { numRuns: 200 },
    );
  });

  it('hold on many values, in any order', () => {
    for (const make of [(i: number) => i, (i: number) => -i, (i: number) => (i * 7919) % 10007]) {
      const values = Array.from({ length: 10_000 }, (_, i) => make(i));
      expect(quantilesOf(Float64Array.from(values), SHARES)).toEqual(sorted(values));
    }
  });

  // Nearest rank, Hyndman and Fan 1996, Am. Stat. 50, definition 1.
  it.each([
    [0.1, 10, 0],
    [0.5, 10, 4],
    [0.9, 10, 8],
    [0.9, 4000, 3599],
    [0.91, 10, 9],
  ])('rank %d of %d', (p, n, rank) => {
    expect(rankOf(p, n)).toBe(rank);
  });
});
