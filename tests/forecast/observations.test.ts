import { describe, expect, it } from 'vitest';
import { compile } from '../../src/forecast/compile.ts';
import { resolveSettings } from '../../src/forecast/defaults.ts';
import { AID_EFFECT, leaderEffect, PARTY_EFFECT } from '../../src/forecast/effects.ts';
import { legsOf } from '../../src/forecast/legs.ts';
import type { ForecastInput, ForecastPitch } from '../../src/forecast/model.ts';
import { observationsOf, pausesOf } from '../../src/forecast/observations.ts';
import { workClock } from '../../src/forecast/work-clock.ts';
import { at, route, trip } from './fixture.ts';

type Told = Record<number, ForecastPitch['actual']>;

function told(actual: Told, over: Partial<ForecastInput> = {}): ForecastInput {
  const pitches = (over.pitches ?? route(8, 99)).map((p) => {
    const own = actual[p.number];
    return own ? { ...p, actual: own } : p;
  });
  return trip({ departed: true, nowMs: at(0, 15), ...over, pitches });
}

/** Minutes each observation says were worked, and on which legs by their expected time. */
function minutes(input: ForecastInput): number[] {
  const settings = resolveSettings(input.settings);
  const legs = legsOf(input, settings);
  const clock = workClock(input.days, settings.darkFactor, input.nowMs);
  const c = compile(input);
  const m = { input, settings, clock, pauses: pausesOf(input) };
  const spans = [...legs.flatMap((l) => [l.whole, l.untilFixed, l.afterFixed])];
  return observationsOf(m, legs, c.state.leg).map(({ logRatio, sigma }) => {
    const own = spans.find((part) => Math.hypot(part.span.sigma, settings.sigmaPitch) === sigma);
    return Math.round(Math.exp(logRatio + (own?.span.mu ?? Number.NaN)));
  });
}

describe('what is learnt from', () => {
  it('is two stretches from start, fixed and done', () => {
    const input = told({
      1: { startedAtMs: at(0, 7, 10), fixedAtMs: at(0, 7, 40), doneAtMs: at(0, 8) },
    });
    expect(minutes(input)).toEqual([30, 20]);
  });

  it('is one stretch from done alone, from the planned start or the pitch before', () => {
    expect(minutes(told({ 1: { doneAtMs: at(0, 8) }, 2: { doneAtMs: at(0, 8, 50) } }))).toEqual([
      60, 50,
    ]);
  });

  it('is the lead of a pitch under way once its line is fixed', () => {
    expect(minutes(told({ 1: { doneAtMs: at(0, 8) }, 2: { fixedAtMs: at(0, 8, 35) } }))).toEqual([
      60, 35,
    ]);
  });

  it('leaves marked breaks out, in the stretch they fell in', () => {
    const actual = { startedAtMs: at(0, 7), fixedAtMs: at(0, 8), doneAtMs: at(0, 9) };
    expect(minutes(told({ 1: { ...actual, breakMin: 25, breakLeadMin: 10 } }))).toEqual([50, 45]);
    expect(minutes(told({ 1: { doneAtMs: at(0, 9), breakMin: 45 } }))).toEqual([75]);
  });

  it('takes pitches nobody posted together with the next posted one', () => {
    const input = told({
      1: { doneAtMs: at(0, 8) },
      3: { doneAtMs: at(0, 10) },
      4: { doneAtMs: at(0, 11) },
    });
    const c = compile(input);
    expect(c.observations).toBe(3);
    expect(c.state.leg).toBe(4);
    // Twice the expected time over the gap is learnt as slow, whoever led.
    const slow = told({ 1: { doneAtMs: at(0, 7, 55) }, 3: { doneAtMs: at(0, 14, 55) } });
    expect(compile(slow).posterior.mean[0]).toBeGreaterThan(0.1);
  });

  it('takes a told start for the end of the pitch before, where that wasn’t posted', () => {
    const input = told({
      1: { startedAtMs: at(0, 7) },
      2: { startedAtMs: at(0, 8), doneAtMs: at(0, 9) },
    });
    expect(minutes(input)).toEqual([60, 60]);
  });

  it('counts a short wait before the next start as changeover, and a long one as a stop', () => {
    const next = (minute: number): Told => ({
      1: { doneAtMs: at(0, 8) },
      2: { startedAtMs: at(0, 8, minute), doneAtMs: at(0, 9) },
    });
    expect(minutes(told(next(15)))).toEqual([75, 45]);
    expect(minutes(told(next(0)))).toEqual([60, 60]);
    const lunch = {
      1: { doneAtMs: at(0, 8) },
      2: { startedAtMs: at(0, 9, 30), doneAtMs: at(0, 10) },
    };
    expect(minutes(told(lunch))).toEqual([60, 30]);
  });

  it('doesn’t take a night for climbing', () => {
    const overnight = { 1: { doneAtMs: at(0, 19) }, 2: { doneAtMs: at(1, 8) } };
    const input = told(overnight, { nowMs: at(1, 8), plannedStartMs: at(0, 18) });
    expect(minutes(input)).toEqual([60, 60]);
    const pause = { fromMs: at(0, 19), toMs: at(1, 7, 30) };
    const paused = told(
      { 1: { doneAtMs: at(0, 19) }, 2: { startedAtMs: at(0, 18, 59), doneAtMs: at(1, 8) } },
      {
        nowMs: at(1, 8),
        plannedStartMs: at(0, 18),
        pauses: [pause],
      },
    );
    expect(minutes(paused)[1]).toBe(31);
  });

  it('counts the dark as slow, not the party', () => {
    const dark = told(
      { 1: { startedAtMs: at(0, 22), doneAtMs: at(0, 23, 36) } },
      { nowMs: at(0, 23, 40), settings: { darkFactor: 1.6 } },
    );
    // 96 min in the dark at 1.6 are 60 of work.
    expect(minutes(dark)).toEqual([60]);
  });

  it('credits a pitch to the one who led it', () => {
    const slow = { doneAtMs: at(0, 9, 30) };
    const planned = compile(told({ 1: slow })).posterior.mean;
    const swapped = compile(told({ 1: { ...slow, leader: 1 } })).posterior.mean;
    // The pitch is free: nothing is said of how either leads on aid.
    const [mara, jonas] = [leaderEffect(0, false), leaderEffect(1, false)];
    expect(planned[mara]).toBeGreaterThan(0.01);
    expect(planned[jonas]).toBeCloseTo(0, 12);
    expect(planned[leaderEffect(0, true)]).toBeCloseTo(0, 12);
    expect(swapped[jonas]).toBeCloseTo(planned[mara] as number, 9);
  });

  it('leaves free pitches what they are when only aid was slow', () => {
    const aid = trip().pitches.map((p): ForecastPitch => {
      return p.number <= 3 ? { ...p, leader: 0, mode: 'aid', aidGrade: 2 } : p;
    });
    const slow = (n: number) => ({ doneAtMs: at(0, 7 + 5 * n) });
    const pitches = aid.map((p) => (p.number <= 2 ? { ...p, actual: slow(p.number) } : p));
    const { mean } = compile(trip({ departed: true, nowMs: at(0, 17), pitches })).posterior;
    const free = (mean[PARTY_EFFECT] as number) + (mean[leaderEffect(0, false)] as number);
    const onAid =
      (mean[PARTY_EFFECT] as number) +
      (mean[AID_EFFECT] as number) +
      (mean[leaderEffect(0, true)] as number);
    expect(onAid).toBeGreaterThan(free + 0.1);
  });

  it('takes a link as one lead', () => {
    const pitches = route(8, 99).map((p) => ({ ...p, linkedToNext: p.number === 1 }));
    const input = told(
      { 1: { doneAtMs: at(0, 7, 40) }, 2: { doneAtMs: at(0, 8, 40) } },
      { pitches },
    );
    expect(minutes(input)).toEqual([100]);
    expect(compile(input).legs).toHaveLength(7);
  });
});
