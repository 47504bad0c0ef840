import { describe, expect, it } from 'vitest';
import { SCORED, UNSCORED } from './climbs/index.ts';
import type { Moment } from './play.ts';
import { gainOn, loss, pinball, pit, quantile, score, wilson } from './score.ts';

/** A moment whose forecast is uniform on 0–100 min. */
function uniform(actualMin: number): Moment {
  const believed = Float64Array.from({ length: 1000 }, (_, i) => (i + 0.5) / 10);
  const rest = { done: 0, share: 0, spentMin: 0, left: 2 };
  return { ...rest, climb: SCORED[0], believed, actualMin } as unknown as Moment;
}

describe('scores of a forecast', () => {
  it('take the pinball loss as Koenker and Bassett do: p for each minute too short, 1 − p for each too long', () => {
    expect(pinball(100, 90, 0.9)).toBeCloseTo(9);
    expect(pinball(90, 100, 0.9)).toBeCloseTo(1);
    expect(pinball(100, 100, 0.5)).toBe(0);
  });

  it('are least for the true quantiles', () => {
    const actual = Array.from({ length: 100 }, (_, i) => i + 0.5);
    const total = (at: (p: number) => number) =>
      actual.reduce((sum, a) => sum + loss(a, at) * a, 0);
    const truth = total((p) => 100 * p);
    for (const wrong of [(p: number) => 100 * p + 5, (p: number) => 110 * p, () => 50]) {
      expect(total(wrong)).toBeGreaterThan(truth);
    }
  });

  it('find a true forecast uniform, and its intervals as wide as they say', () => {
    const moments = Array.from({ length: 100 }, (_, i) => uniform(i + 0.5));
    expect(pit(uniform(25))).toBeCloseTo(0.25, 2);
    expect(quantile(uniform(0).believed, 0.9)).toBeCloseTo(90, 0);
    const { held50, held80, held90, cautious, meanPit, fifths } = score(moments);
    expect(held50).toBeCloseTo(0.5, 1);
    expect(held80).toBeCloseTo(0.8, 1);
    expect(held90).toBeCloseTo(0.9, 1);
    expect(cautious).toBeCloseTo(0.9, 1);
    expect(meanPit).toBeCloseTo(0.5, 2);
    expect(fifths).toEqual([20, 20, 20, 20, 20]);
  });
});

describe('what few climbs can say', () => {
  // Newcombe 1998, Stat. Med. 17, 857–872, table I, score method without continuity correction (from memory of the table).
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('is the published interval of %d in %d', (seen, n, low, high) => {
    const found = wilson(seen / n, n);
    expect(found.low).toBeCloseTo(low, 4);
    expect(found.high).toBeCloseTo(high, 4);
  });

  it('is less sure of a gain that one party alone has shown', () => {
    const party = (name: string, actualMin: number): Moment => {
      const m = uniform(actualMin);
      return { ...m, climb: { ...m.climb, party: name } };
    };
    const one = gainOn([party('a', 50), party('a', 30)], 'fortyFive');
    expect([one.low, one.high]).toEqual([one.mean, one.mean]);
    const two = gainOn([party('a', 50), party('b', 30)], 'fortyFive');
    expect(two.mean).toBeCloseTo(one.mean, 12);
    expect(two.low).toBeLessThan(two.high);
  });
});

describe('the published climbs', () => {
  it('have each a name of their own and a public address, and end at a pitch of theirs', () => {
    const all = [...SCORED, ...UNSCORED];
    expect(new Set(all.map((c) => c.id)).size).toBe(all.length);
    for (const climb of SCORED) expect(climb.source).toMatch(/^https?:\/\//);
    for (const { pitches, told } of all) {
      expect(told.at(-1)?.pitch).toBeLessThanOrEqual(pitches.length);
      const order = told.map((t) => t.pitch);
      expect(order).toEqual([...order].sort((a, b) => a - b));
    }
  });
});
