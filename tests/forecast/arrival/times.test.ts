import { describe, expect, it } from 'vitest';
import {
  type CentralMoments,
  lognormalCentralMoments,
  maxCentralMoments,
  rawMoment,
} from '../../../src/forecast/arrival/central-moments.ts';
import { discretise, newDuration, quickCdf } from '../../../src/forecast/arrival/duration.ts';
import { afterLag, lagOf } from '../../../src/forecast/arrival/third.ts';
import type { Leg } from '../../../src/forecast/legs.ts';
import { type Lognormal, lognormalFrom } from '../../../src/forecast/moments.ts';
import { normalCdf } from '../../../src/forecast/normal.ts';
import { reference } from '../reference/random.ts';

const lead: Lognormal = { mu: Math.log(55), sigma: 0.35 };
const fix: Lognormal = { mu: Math.log(10), sigma: 0.4 };
const haul: Lognormal = { mu: Math.log(22), sigma: 0.4 };
const follow: Lognormal = { mu: Math.log(25), sigma: 0.3 };

const DRAWS = 200_000;

function drawn(...of: (() => number)[]): Float64Array {
  return Float64Array.from({ length: DRAWS }, () => of.reduce((sum, one) => sum + one(), 0)).sort();
}

function shapeOfDraws(values: Float64Array): CentralMoments {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  const about = (n: number): number =>
    values.reduce((sum, x) => sum + (x - mean) ** n, 0) / values.length;
  return { mean, variance: about(2), third: about(3) };
}

const random = reference(4);
const draw =
  ({ mu, sigma }: Lognormal) =>
  (): number =>
    Math.exp(mu + sigma * random.normal());

describe('shapes of times', () => {
  it('of a lognormal are the textbook’s', () => {
    // Mean e^(μ+σ²/2), variance (e^σ²−1)e^(2μ+σ²), skewness (e^σ²+2)√(e^σ²−1):
    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6.9.
    const { mean, variance, third } = lognormalCentralMoments(lead);
    const w = Math.exp(0.35 ** 2);
    expect(mean).toBeCloseTo(55 * Math.exp(0.35 ** 2 / 2), 9);
    expect(variance).toBeCloseTo((w - 1) * w * 55 ** 2, 6);
    expect(third / variance ** 1.5).toBeCloseTo((w + 2) * Math.sqrt(w - 1), 9);
    expect(rawMoment({ mean, variance, third }, 3)).toBeCloseTo(
      Math.exp(3 * lead.mu + 4.5 * 0.35 ** 2),
      3,
    );
  });

  it('of the longer of two are what drawing both gives', () => {
    const found = maxCentralMoments(haul, follow);
    const plain = shapeOfDraws(drawn(() => Math.max(draw(haul)(), draw(follow)())));
    expect(Math.abs(found.mean - plain.mean)).toBeLessThan(0.1);
    expect(found.variance / plain.variance).toBeCloseTo(1, 1);
    expect(found.third / plain.third).toBeCloseTo(1, 0);
    // Alone in the race each is itself.
    const slow = maxCentralMoments(haul, { mu: 0, sigma: 0.02 });
    expect(slow.third).toBeCloseTo(lognormalCentralMoments(haul).third, 3);
  });
});

describe('a time in steps', () => {
  const chanceBy = (min: number, stepMin: number, shape: CentralMoments): number => {
    const steps = newDuration();
    discretise(shape, stepMin, steps);
    let sum = 0;
    for (let i = 0; i < steps.count; i++) {
      const over = min / stepMin - (steps.first + i) + 0.5;
      sum += (steps.share[i] as number) * Math.min(1, Math.max(0, over));
    }
    return sum;
  };

  it.each([0.3, 1, 4, 8, 30])('keeps chance and mean, in steps of %d min', (stepMin) => {
    for (const time of [
      lead,
      fix,
      haul,
      { mu: Math.log(3), sigma: 1 },
      { mu: Math.log(200), sigma: 0.02 },
    ]) {
      const shape = lognormalCentralMoments(time);
      const steps = newDuration();
      discretise(shape, stepMin, steps);
      let [sum, mean] = [0, 0];
      for (let i = 0; i < steps.count; i++) {
        const share = steps.share[i] as number;
        expect(share).toBeGreaterThanOrEqual(-1e-12);
        sum += share;
        mean += share * (steps.first + i) * stepMin;
      }
      expect(sum).toBeCloseTo(1, 9);
      expect(mean).toBeCloseTo(shape.mean, 6);
      expect(steps.share[steps.count]).toBe(0);
    }
  });

  it('of one lognormal is that lognormal', () => {
    for (const min of [25, 40, 55, 70, 100, 140]) {
      const exact = normalCdf((Math.log(min) - lead.mu) / lead.sigma);
      expect(Math.abs(chanceBy(min, 1, lognormalCentralMoments(lead)) - exact)).toBeLessThan(0.002);
    }
  });

  it('of a whole pitch is within half a percent of drawing its stages', () => {
    const all = drawn(
      draw(lead),
      draw(fix),
      () => Math.max(draw(haul)(), draw(follow)()),
      draw(fix),
    );
    const shape: CentralMoments = { mean: 0, variance: 0, third: 0 };
    for (const one of [
      lognormalCentralMoments(lead),
      lognormalCentralMoments(fix),
      maxCentralMoments(haul, follow),
      lognormalCentralMoments(fix),
    ]) {
      shape.mean += one.mean;
      shape.variance += one.variance;
      shape.third += one.third;
    }
    for (const p of [0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98]) {
      const min = all[Math.floor(p * DRAWS)] as number;
      expect(Math.abs(chanceBy(min, 1, shape) - p)).toBeLessThan(0.005);
    }
  });
});

describe('the quick normal', () => {
  it('is the normal', () => {
    for (let z = -7; z <= 7; z += 0.0137)
      expect(Math.abs(quickCdf(z) - normalCdf(z))).toBeLessThan(2e-7);
    expect(quickCdf(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(quickCdf(Number.POSITIVE_INFINITY)).toBe(1);
  });
});

describe('the third of the pitch below', () => {
  const third: Lognormal = { mu: Math.log(40), sigma: 0.3 };
  const changeover: Lognormal = { mu: Math.log(12), sigma: 0.4 };
  const below = { stages: { third, changeover } } as unknown as Leg;

  it('holds the second up by what drawing both gives', () => {
    const lag = lagOf(below);
    const quick: Lognormal = { mu: Math.log(25), sigma: 0.35 };
    const shape = afterLag(lognormalCentralMoments(quick), lag as NonNullable<typeof lag>);
    const plain = shapeOfDraws(
      drawn(() => Math.max(draw(quick)(), draw(third)() - draw(changeover)())),
    );
    expect(Math.abs(shape.mean - plain.mean)).toBeLessThan(0.15);
    expect(shape.variance / plain.variance).toBeCloseTo(1, 1);
  });

  it('holds nobody up whose lead takes longer, and isn’t there in a party of two', () => {
    const lag = lagOf({
      stages: { third: { mu: Math.log(4), sigma: 0.3 }, changeover },
    } as unknown as Leg);
    const time = lognormalCentralMoments(lead);
    expect(afterLag(time, lag as NonNullable<typeof lag>)).toBe(time);
    expect(lagOf({ stages: { changeover } } as unknown as Leg)).toBeUndefined();
    expect(lagOf(undefined)).toBeUndefined();
    expect(lognormalFrom(time).mu).toBeCloseTo(lead.mu, 9);
  });
});
