import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quickForecast } from '../../src/forecast/forecast.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { type Observation, posteriorOf } from '../../src/forecast/pace.ts';
import { unevennessOf, widened } from '../../src/forecast/uneven.ts';
import { runs } from '../helpers/long.ts';
import { at, days, MIN_MS, route, trip } from './fixture.ts';

/** By which quantiles may get out of order when other times are told: under half a second in thousands tried. */
const ORDER_MS = 2000;
const PRIOR = { mean: [0], covariance: [[0.09]] };

function uneven(...logRatios: number[]) {
  const seen = logRatios.map((logRatio): Observation => ({ logRatio, sigma: 0.25, weights: [1] }));
  return unevennessOf(posteriorOf(PRIOR, seen), seen);
}

/** The first pitches told with these times, in minutes. */
function told(minutes: readonly number[], party: ForecastInput['party']): ForecastInput {
  let nowMs = at(0, 7);
  const pitches = route(9).map((pitch, i) => {
    const min = minutes[i];
    if (min === undefined) return pitch;
    const startedAtMs = nowMs;
    nowMs += min * MIN_MS;
    return { ...pitch, actual: { startedAtMs, doneAtMs: nowMs } };
  });
  const climbing = { pitches, nowMs, departed: true, ascents: 200, days: days(9) };
  return trip({ ...climbing, ...(party ? { party } : {}) });
}

describe('how uneven the pitches were', () => {
  it('is as expected before any is climbed, and while they are alike, however slow', () => {
    expect(uneven()).toEqual({ later: 1, sooner: 1 });
    expect(uneven(0.4, 0.45, 0.4, 0.35)).toEqual({ later: 1, sooner: 1 });
  });

  it('widens each side by what lay on it', () => {
    const slow = uneven(0, 0.1, -0.1, 0, 1.2);
    expect(slow.later).toBeGreaterThan(1.3);
    expect(slow.sooner).toBe(1);
    const quick = uneven(0, 0.1, -0.1, 0, -1.2);
    expect(quick.sooner).toBeCloseTo(slow.later, 9);
    const both = uneven(0.8, -0.8, 0.8, -0.8);
    expect(both.later).toBeCloseTo(both.sooner, 9);
    expect([widened(1, slow), widened(-1, slow)]).toEqual([slow.later, -1]);
  });

  it('takes a stuck bag for one thing: ten times longer stuck widens nothing more', () => {
    expect(uneven(0, 0, 0, Math.log(50)).later).toBeCloseTo(uneven(0, 0, 0, Math.log(20)).later, 2);
  });

  it('brings no quantile of the top-out forward when one of several pitches was slower', () => {
    const said = fc.constantFrom(undefined, 'efficient', 'average', 'first' as const);
    // All in one day: from one day to the next, what is slow may be the day.
    const minutes = fc.array(fc.integer({ min: 10, max: 100 }), { minLength: 2, maxLength: 7 });
    const slower = fc.integer({ min: 1, max: 200 });
    fc.assert(
      fc.property(said, minutes, fc.nat(), slower, (party, all, which, more) => {
        const at = which % all.length;
        const late = all.map((min, i) => (i === at ? min + more : min));
        const before = Object.values(quickForecast(told(all, party)).topout);
        Object.values(quickForecast(told(late, party)).topout).forEach((ms, i) => {
          expect(ms).toBeGreaterThanOrEqual((before[i] as number) - ORDER_MS);
        });
      }),
      { numRuns: runs(10, 300) },
    );
  });
});
