import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DEFAULTS } from '../../src/forecast/defaults.ts';
import { forecast } from '../../src/forecast/forecast.ts';
import { latestTimes } from '../../src/forecast/latest.ts';
import type { ForecastInput, RainSpell } from '../../src/forecast/model.ts';
import { evenly } from '../helpers/even.ts';
import { at, days, HOUR_MS, MIN_MS, route, trip } from './fixture.ts';
import { below } from './reference/rain.ts';

/** A party that takes the same time on every climb: what is left to chance is the rain. */
const CLOCKWORK: Record<string, number> = {
  ...Object.fromEntries(
    DEFAULTS.filter((d) => /^(sigma|prior)/.test(d.name) && d.low <= 0.01).map((d) => [
      d.name,
      0.01,
    ]),
  ),
  incidentChance: 0,
};
const four = trip({ pitches: route(4, 99), days: days(12), ascents: 8192, settings: CLOCKWORK });
const topMs = forecast(four).topout.q50;
const whole = (fromMs: number, chance: number): RainSpell[] => [
  { fromMs, toMs: fromMs + 5 * HOUR_MS, chance },
];
const withRain = (rain: RainSpell[], over: Partial<ForecastInput> = {}) =>
  forecast({ ...four, rain, wetHours: 24, ...over }).rain;

describe('the chance of being caught by rain', () => {
  it('is the chance of the spell for who is on the wall all through its begin', () => {
    const fromMs = topMs - 3 * HOUR_MS;
    for (const chance of [0.1, 0.5, 0.8]) {
      const rain = withRain(whole(fromMs, chance));
      expect(rain?.caught).toBeCloseTo(chance, 1);
      expect(Math.abs((rain?.caught ?? 0) - chance)).toBeLessThan(0.02);
      expect(rain?.dryTop).toBeCloseTo(1 - (rain?.caught ?? 0), 6);
    }
  });

  it('is none for who is on top hours before, and that is being on top before the rain', () => {
    const rain = withRain(whole(topMs + 5 * HOUR_MS, 0.9));
    expect(rain?.caught).toBeLessThan(0.01);
    expect(rain?.dryTop).toBeGreaterThan(0.99);
  });

  it('is none of rain that begins an hour after they are on top, nor of one that began before they were on the wall', () => {
    expect(withRain(whole(topMs + HOUR_MS / 2, 0.9))?.caught).toBeLessThan(0.05);
    // From the ground, under way from eight on: rain at seven holds them there.
    const off = at(0, 9);
    const ground = { departed: true, plannedStartMs: off, nowMs: at(0, 6) };
    expect(withRain(whole(at(0, 7), 0.9), { ...ground, wetHours: 0 })?.caught).toBeLessThan(0.05);
    expect(withRain(whole(off + HOUR_MS, 0.9), { ...ground, wetHours: 0 })?.caught).toBeGreaterThan(
      0.85,
    );
  });

  // Two hours of one forecast: the chance of no rain in either is that of two normals with a known correlation, both
  // above their bounds; here by a sum over a fine grid, which shares nothing with the drawn ascents.
  it.each([
    [0.5, 0.5],
    [0.2, 0.6],
    [0.3, 0.1],
  ])('of two hours told one by one, %s and %s, is theirs together', (one, two) => {
    const fromMs = topMs - 3 * HOUR_MS;
    const spells = [one, two].map((chance, h) => ({
      fromMs: fromMs + h * HOUR_MS,
      toMs: fromMs + (h + 1) * HOUR_MS,
      chance,
    }));
    let dry = 0;
    const step = 0.005;
    for (let x = -8; x < 8; x += step) {
      if (below(x) < one) continue;
      const density = Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI);
      const wetNext = below((quantile(two) - 0.9 * x) / Math.sqrt(1 - 0.9 ** 2));
      dry += density * (1 - wetNext) * step;
    }
    const rain = withRain(spells);
    expect(Math.abs((rain?.caught ?? 0) - (1 - dry))).toBeLessThan(0.02);
    // No more than if they had nothing to do with each other, no less than the likelier of the two.
    expect(rain?.caught).toBeLessThan(1 - (1 - one) * (1 - two));
    expect(rain?.caught).toBeGreaterThan(Math.max(one, two) - 0.02);
  });

  // By hand: caught three hours before the top, by rain of five hours, on rock that is left alone for 24 h after it.
  it('costs the rain and the hold, and the rest of the night after them', () => {
    const fromMs = topMs - 3 * HOUR_MS;
    const sure = forecast({ ...four, rain: whole(fromMs, 1), wetHours: 24 });
    expect(sure.rain?.caught).toBe(1);
    const dryMs = fromMs + 29 * HOUR_MS;
    expect(sure.topout.q10).toBeGreaterThan(dryMs);
    expect(sure.topout.q50 - topMs).toBeLessThan(48 * HOUR_MS);
    expect((sure.rain?.costMin ?? 0) * MIN_MS).toBeCloseTo(sure.topout.q50 - topMs, -6);
    expect(sure.rain?.where?.pitch).toBeGreaterThan(0);
    const none = forecast({ ...four, rain: whole(fromMs, 1), wetHours: 0 });
    expect(none.topout).toEqual(forecast(four).topout);
    expect(none.rain).toMatchObject({ caught: 1, costMin: 0 });
  });

  it('rain that is over, or told as never, changes nothing', () => {
    const plain = forecast(four);
    const over = forecast({ ...four, rain: whole(four.nowMs - 9 * HOUR_MS, 0.9), wetHours: 24 });
    expect(over).toEqual(plain);
    expect(forecast({ ...four, rain: whole(topMs, 0), wetHours: 24 })).toEqual(plain);
  });
});

function quantile(p: number): number {
  let [low, high] = [-8, 8];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (below(middle) < p) low = middle;
    else high = middle;
  }
  return low;
}

const spell = fc.record({
  begin: fc.integer({ min: 0, max: 60 }),
  hours: fc.integer({ min: 1, max: 9 }),
  chance: evenly(0, 1),
});
const spells = fc.array(spell, { minLength: 1, maxLength: 5 }).map((all) =>
  all.map(({ begin, hours, chance }) => ({
    fromMs: at(0, 7 + begin),
    toMs: at(0, 7 + begin + hours),
    chance,
  })),
);
/**
 * Without an effect of the day: that goes to the legs which the median ascent climbs on it, so whatever moves a leg to
 * another day changes its luck by minutes, and the order of two climbs with it.
 */
const small = trip({
  pitches: route(6),
  days: days(12),
  ascents: 200,
  settings: { priorDay: 0 },
});

describe('properties', () => {
  it('more rain, or a longer hold, is never better', () => {
    fc.assert(
      fc.property(spells, fc.constantFrom(0, 24, 48), (rain, wetHours) => {
        const base = forecast({ ...small, rain, wetHours });
        const longer = forecast({ ...small, rain, wetHours: wetHours + 24 });
        const surer = forecast({
          ...small,
          rain: rain.map((s) => ({ ...s, chance: Math.min(1, s.chance * 1.5) })),
          wetHours,
        });
        for (const worse of [longer, surer]) {
          for (const q of ['q10', 'q50', 'q90'] as const) {
            expect(worse.topout[q]).toBeGreaterThanOrEqual(base.topout[q]);
          }
        }
        expect(surer.rain?.dryTop ?? 1).toBeLessThanOrEqual(base.rain?.dryTop ?? 1);
      }),
      { numRuns: 40 },
    );
  });

  it('a later hour is never a better one, in the rain too', () => {
    fc.assert(
      fc.property(spells, fc.integer({ min: 1, max: 400 }), (rain, lateMin) => {
        const from = (startMs: number) =>
          forecast({
            ...small,
            departed: true,
            nowMs: at(0, 7),
            plannedStartMs: at(0, 7),
            holdUntilMs: startMs,
            rain,
            wetHours: 24,
          }).topout;
        const [early, late] = [from(at(0, 8)), from(at(0, 8) + lateMin * MIN_MS)];
        expect(late.q50).toBeGreaterThanOrEqual(early.q50);
        expect(late.q90).toBeGreaterThanOrEqual(early.q90);
      }),
      { numRuns: 40 },
    );
  });

  it('latest times count the rain: never later than without it, growing along the route', () => {
    fc.assert(
      fc.property(spells, (rain) => {
        const cutoffs = [
          { id: 'top', kind: 'own', label: '', atMs: at(3, 20), target: 'topout' } as const,
        ];
        const plain = latestTimes({ ...small, cutoffs });
        const wet = latestTimes({ ...small, cutoffs, rain, wetHours: 24 });
        let before = Number.NEGATIVE_INFINITY;
        wet.forEach(({ latestMs }, i) => {
          if (latestMs === undefined) return;
          expect(latestMs).toBeLessThanOrEqual(plain[i]?.latestMs ?? Number.POSITIVE_INFINITY);
          expect(latestMs).toBeGreaterThanOrEqual(before);
          before = latestMs;
        });
      }),
      { numRuns: 25 },
    );
  });
});
