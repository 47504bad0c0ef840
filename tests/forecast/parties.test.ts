import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { forecast } from '../../src/forecast/forecast.ts';
import type { ForecastDay, ForecastInput, ForecastPitch } from '../../src/forecast/model.ts';
import { drawnAscents } from './ascents.ts';
import { at, MIN_MS, trip } from './fixture.ts';

/**
 * The forecast against the same model's ascents, drawn one by one by chance alone, for parties, routes,
 * days and posts of every sort. (The independent model is in `reference/`; here the question is whether the even
 * spread of its ascents leaves its quantiles what they were.)
 */

const PARTIES = 120;
const ASCENTS = 4000;
/** Standard errors of a share of so many ascents, on both sides, that are left to chance. */
const ERRORS = 3.5 * Math.SQRT2;
/** A quantile is as good as met when it would be this much earlier or later, minutes: nobody reads finer. */
const NEAR_MIN = 1;

const pitch = fc.record({
  lengthM: fc.integer({ min: 12, max: 60 }),
  mode: fc.constantFrom('free' as const, 'free' as const, 'aid' as const),
  aidGrade: fc.integer({ min: 0, max: 4 }),
  gapSteps: fc.integer({ min: -6, max: 3 }),
  leader: fc.integer({ min: 0, max: 3 }),
  stance: fc.constantFrom('ledge' as const, 'hanging' as const),
  bivy: fc.constantFrom(
    { kind: 'none' as const },
    { kind: 'none' as const },
    { kind: 'ledge' as const, places: 2 },
    { kind: 'portaledge' as const },
  ),
  linkedToNext: fc.integer({ min: 0, max: 9 }).map((n) => n === 0),
});

const party = fc.record({
  pitches: fc.array(pitch, { minLength: 1, maxLength: 22 }),
  partySize: fc.integer({ min: 2, max: 4 }),
  haulBag: fc.boolean(),
  bagKg: fc.integer({ min: 10, max: 160 }),
  light: fc.constantFrom('summer', 'autumn', 'polar day', 'polar night'),
  done: fc.integer({ min: 0, max: 21 }),
  paceOf: fc.integer({ min: 60, max: 170 }),
  since: fc.integer({ min: 0, max: 300 }),
  started: fc.boolean(),
  fixed: fc.boolean(),
  hold: fc.integer({ min: 0, max: 20 }),
  plan: fc.boolean(),
  /** Climbing ends then; a short day leaves hardly any hours beside a place to sleep. */
  stop: fc.constantFrom(10, 13, 17, 20, 20, 20),
});
type Party = typeof party extends fc.Arbitrary<infer T> ? T : never;

function daysOf({ light, stop }: Party): ForecastDay[] {
  return Array.from({ length: 10 }, (_, d): ForecastDay => {
    const hours = { startMs: at(d, 7), stopMs: at(d, stop) };
    if (light === 'polar day') return hours;
    if (light === 'polar night') return { ...hours, darkAllDay: true };
    if (light === 'autumn') return { ...hours, dawnMs: at(d, 7, 10), duskMs: at(d, 17, 20) };
    return { ...hours, dawnMs: at(d, 4, 40), duskMs: at(d, 21, 50) };
  });
}

const night = (pitch: number) => ({ pitch, day: 0, eveningMin: 60, morningMin: 60 });

/** The party as a trip: some pitches posted done, each in about its usual time, and the next under way or not. */
function inputOf(p: Party): ForecastInput {
  const done = Math.min(p.done, p.pitches.length - 1);
  let atMs = at(0, 7);
  const pitches = p.pitches.map((own, i): ForecastPitch => {
    const base = { ...own, number: i + 1, leader: own.leader % p.partySize };
    if (i > done || done === 0) return base;
    const startedAtMs = atMs;
    if (i === done) {
      const fixedAtMs = startedAtMs + 20 * MIN_MS;
      const told = p.fixed && p.since > 20 ? { startedAtMs, fixedAtMs } : { startedAtMs };
      return p.started ? { ...base, actual: told } : base;
    }
    atMs += p.paceOf * MIN_MS * (own.mode === 'aid' ? 1.6 : 0.8);
    return { ...base, actual: { ...(p.started ? { startedAtMs } : {}), doneAtMs: atMs } };
  });
  const nowMs = done === 0 ? at(0, 6) : atMs + p.since * MIN_MS;
  return trip({
    climbers: ['mara', 'jonas', 'ines', 'greta']
      .slice(0, p.partySize)
      .map((id) => ({ id, name: id })),
    partySize: p.partySize,
    haulBag: p.haulBag,
    bagKg: p.bagKg,
    pitches,
    days: daysOf(p),
    nowMs,
    departed: done > 0,
    ...(p.hold > 14 ? { holdUntilMs: nowMs + (p.hold - 14) * 180 * MIN_MS } : {}),
    ...(p.plan ? { plan: { nights: [night(Math.ceil(pitches.length / 2))] } } : {}),
    ascents: ASCENTS,
  });
}

/** How far the chance of each of a trip's quantiles is off, beyond what the draw leaves open. */
function errorsOf(input: ForecastInput): number[] {
  const { checkpoints } = forecast(input);
  const projected = checkpoints.filter(({ pitch: number, actual }) => {
    const link = input.pitches[number - 1]?.linkedToNext && number < input.pitches.length;
    return actual === undefined && !link;
  });
  return drawnAscents({ ...input, seed: 77 }, ASCENTS).flatMap((column, leg) => {
    const done = projected[leg]?.done;
    return (
      [
        ['q10', 0.1],
        ['q50', 0.5],
        ['q90', 0.9],
      ] as const
    ).map(([key, share]) => {
      const min = ((done?.[key] as number) - input.nowMs) / MIN_MS;
      const by = (to: number): number => column.filter((x) => x <= to).length / ASCENTS;
      const never = min === Number.POSITIVE_INFINITY;
      const early = share - (never ? 1 : by(min + NEAR_MIN));
      const late = by(never ? Number.MAX_VALUE : min - NEAR_MIN) - share;
      const open = ERRORS * Math.sqrt((share * (1 - share)) / ASCENTS);
      return Math.max(0, Math.max(early, late) - open);
    });
  });
}

describe('the even spread of the ascents', () => {
  it('leaves the quantiles of every checkpoint what they are', () => {
    const errors = fc
      .sample(party, { numRuns: PARTIES, seed: 20310612 })
      .flatMap((p) => errorsOf(inputOf(p)));
    expect(errors.length).toBeGreaterThan(700);
    const share = (most: number): number => errors.filter((e) => e <= most).length / errors.length;
    expect(share(0)).toBeGreaterThan(0.98);
    // What is left are parties that stand just where a whole night turns on their pace.
    expect(Math.max(...errors)).toBeLessThan(0.03);
  }, 60_000);
});
