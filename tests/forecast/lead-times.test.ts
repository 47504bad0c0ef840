import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leadTimes } from '../../src/forecast/lead-times.ts';
import type { ForecastInput, ForecastPitch } from '../../src/forecast/model.ts';
import { at, route, trip } from './fixture.ts';
import { refLegs } from './reference/stages.ts';

const gapsOf = (input: ForecastInput, of: (pitch: number, climber: number) => number | undefined) =>
  input.pitches.map((_, p) => input.climbers.map((_, c) => of(p, c)));
const done = (input: ForecastInput, actual: Record<number, ForecastPitch['actual']>) => ({
  ...input,
  departed: true,
  pitches: input.pitches.map((p) => {
    const told = actual[p.number];
    return told === undefined ? p : { ...p, actual: told };
  }),
});

/** Plain free pitches without a bag: lead, anchor, follow, changeover, one after the other. */
const plain = (count: number) =>
  trip({
    haulBag: false,
    pitches: route(count, 99).map((p) => ({ ...p, mode: 'free' as const })),
  });

describe('lead times', () => {
  it('are the stages’ medians with each leader’s own gap, as the slow reference has them', () => {
    const input = plain(5);
    const gaps = gapsOf(input, (p, c) => -4 + ((p + 2 * c) % 5));
    const times = leadTimes(input, gaps);
    input.climbers.forEach((_, leader) => {
      const pitches = input.pitches.map((pitch, i) => ({
        ...pitch,
        leader,
        gapSteps: gaps[i]?.[leader] as number,
      }));
      refLegs({ ...input, pitches }).forEach((leg, k) => {
        const stages = [leg.lead, leg.fix, leg.follow, leg.change].filter((s) => s !== undefined);
        // The lognormal with the mean and variance of the sum (Fenton 1960), written out.
        const mean = stages.reduce((sum, s) => sum + s.median * Math.exp(s.sigma ** 2 / 2), 0);
        const variance = stages.reduce(
          (sum, s) => sum + s.median ** 2 * Math.exp(s.sigma ** 2) * (Math.exp(s.sigma ** 2) - 1),
          0,
        );
        const median = mean / Math.sqrt(1 + variance / mean ** 2);
        expect(times.minutes[k]?.[leader]).toBeCloseTo(median, 6);
      });
    });
  });

  it('grow with the gap, and only where there is one', () => {
    fc.assert(
      fc.property(fc.integer({ min: -4, max: 3 }), fc.integer({ min: 0, max: 9 }), (gap, pitch) => {
        const input = trip();
        const easy = leadTimes(
          input,
          gapsOf(input, () => gap),
        );
        const harder = leadTimes(
          input,
          gapsOf(input, (p, c) => (p === pitch && c === 1 ? gap + 1 : gap)),
        );
        easy.minutes.forEach((row, k) => {
          expect(harder.minutes[k]?.[0]).toBe(row[0]);
          const same = k !== pitch || (input.pitches[pitch]?.mode === 'aid' && gap < -1);
          if (same) expect(harder.minutes[k]?.[1]).toBe(row[1]);
          else expect(harder.minutes[k]?.[1]).toBeGreaterThan(row[1] as number);
        });
      }),
      { numRuns: 25 },
    );
  });

  it('leave out what is done, started or fixed', () => {
    const input = done(trip({ nowMs: at(0, 10) }), {
      1: { startedAtMs: at(0, 7), doneAtMs: at(0, 8), leader: 0 },
      2: { doneAtMs: at(0, 9), leader: 1 },
      3: { fixedAtMs: at(0, 9, 50), leader: 0 },
    });
    const gaps = gapsOf(input, () => undefined);
    expect(leadTimes(input, gaps).firstPitches).toEqual([4, 5, 6, 7, 8, 9, 10]);
    const all = done(trip({ nowMs: at(1, 20) }), { 10: { doneAtMs: at(1, 19), leader: 0 } });
    expect(leadTimes(all, gaps)).toEqual({ firstPitches: [], lastPitches: [], minutes: [] });
  });

  it('take a link as one lead', () => {
    const base = trip();
    const input = {
      ...base,
      pitches: base.pitches.map((p) => (p.number === 3 ? { ...p, linkedToNext: true } : p)),
    };
    const times = leadTimes(
      input,
      gapsOf(input, () => -2),
    );
    expect(times.firstPitches).toEqual([1, 2, 3, 5, 6, 7, 8, 9, 10]);
    expect(times.lastPitches).toEqual([1, 2, 4, 5, 6, 7, 8, 9, 10]);
  });

  it('go by the pace learnt, which doesn’t depend on who might lead', () => {
    const slow = done(trip({ nowMs: at(0, 12) }), {
      1: { startedAtMs: at(0, 7), doneAtMs: at(0, 9, 30), leader: 0 },
      2: { doneAtMs: at(0, 12), leader: 1 },
    });
    const gaps = gapsOf(slow, () => -2);
    const fresh = leadTimes(trip(), gaps);
    const learnt = leadTimes(slow, gaps);
    learnt.minutes.forEach((row, k) => {
      row.forEach((min, c) => {
        expect(min).toBeGreaterThan(fresh.minutes[k + 2]?.[c] as number);
      });
    });
    const other = leadTimes(
      slow,
      gapsOf(slow, (p) => (p < 2 ? 4 : -2)),
    );
    expect(other.minutes).toEqual(learnt.minutes);
  });
});
