import { describe, expect, it } from 'vitest';
import { forecast } from '../../src/forecast/forecast.ts';
import type { Forecast, ForecastDay, ForecastInput } from '../../src/forecast/model.ts';
import { drawnAscents } from './ascents.ts';
import { at, bigWall, days, MIN_MS, route, trip } from './fixture.ts';

const ASCENTS = 20_000;
const SHARES = [0.1, 0.5, 0.9];

/** The share of drawn ascents up by each top-out quantile is that quantile's; 2 min either way are none. */
function expectAgreement(input: ForecastInput, slack = 0.02): void {
  const { topout } = forecast(input);
  const column = drawnAscents({ ...input, seed: 77 }, ASCENTS).at(-1) as Float64Array;
  Object.values(topout).forEach((ms, i) => {
    const share = SHARES[i] as number;
    const min = (ms - input.nowMs) / MIN_MS;
    const by = (to: number): number => column.filter((x) => x <= to).length / ASCENTS;
    // Never: fewer than that share are up at all.
    const never = min === Number.POSITIVE_INFINITY;
    expect(by(never ? Number.MAX_VALUE : min - 2), `${share}`).toBeLessThan(share + slack);
    if (!never) expect(by(min + 2), `${share}`).toBeGreaterThan(share - slack);
  });
}

function expectWhole(f: Forecast): void {
  const chances = [
    ...f.cutoffs.map((c) => c.chance),
    ...f.nights,
    f.exposedNight,
    f.unfinished,
    ...(f.shuttle ? [f.shuttle.chanceLast, f.shuttle.chanceWalk] : []),
  ];
  for (const chance of chances) {
    expect(chance).toBeGreaterThanOrEqual(0);
    expect(chance).toBeLessThanOrEqual(1);
  }
  expect(f.nights.reduce((a, b) => a + b, 0) + f.unfinished).toBeCloseTo(1, 3);
  for (const q of ['q10', 'q50', 'q90'] as const) {
    expect(f.topout[q]).not.toBeNaN();
    expect(f.trailhead[q]).toBeGreaterThanOrEqual(f.topout[q]);
    if (f.boarding) expect(f.boarding[q]).toBeGreaterThanOrEqual(f.trailhead[q]);
  }
}

const short = (count: number, from: number, to: number): ForecastDay[] =>
  days(count).map((day, d) => ({ ...day, startMs: at(d, from), stopMs: at(d, to) }));

describe('whoever waits for the morning goes on that morning', () => {
  it('where a planned night leaves no hours to climb on in', () => {
    expectAgreement(
      trip({
        days: short(8, 9, 13),
        plannedStartMs: at(0, 9),
        plan: { nights: [{ pitch: 4, day: 0, eveningMin: 60, morningMin: 60 }] },
      }),
    );
    expectAgreement(trip({ days: short(8, 10, 12), plannedStartMs: at(0, 10) }));
  });

  it('where a day is for rest', () => {
    const rest = days(8).map((day, d) => (d === 1 ? { ...day, stopMs: day.startMs } : day));
    const pitches = route(10).map((p) => ({ ...p, bivy: { kind: 'none' as const } }));
    expectAgreement(trip({ days: rest, pitches, settings: { pushMaxMin: 0 } }));
  });
});

const topped = (over: Partial<ForecastInput>): ForecastInput =>
  bigWall({
    pitches: route(10).map((p) => ({ ...p, actual: { doneAtMs: at(0, 7 + p.number) } })),
    departed: true,
    ...over,
  });

describe('a time far beyond what was thought possible', () => {
  it.each([
    [
      'a descent of no time at all',
      topped({ nowMs: at(0, 20), descent: { kind: 'given', min: 0 } }),
    ],
    ['a descent held to be sure', topped({ nowMs: at(0, 23), settings: { sigmaDescent: 0.02 } })],
    [
      'a last pitch nobody has told of for a year',
      trip({
        pitches: route(10).map((p) =>
          p.number < 10 ? { ...p, actual: { doneAtMs: at(0, 7 + p.number) } } : p,
        ),
        departed: true,
        nowMs: at(365, 9),
        days: days(374),
      }),
    ],
    [
      'a first pitch of a party held to be sure',
      bigWall({
        pitches: route(30).map((p) =>
          p.number === 1 ? { ...p, actual: { startedAtMs: at(0, 8) } } : p,
        ),
        departed: true,
        nowMs: at(1, 17),
        settings: sure(0.02, 0.02),
      }),
    ],
    [
      'a first pitch of sure stages, a minute in',
      bigWall({
        pitches: route(30).map((p) =>
          p.number === 1 ? { ...p, actual: { startedAtMs: at(0, 8) } } : p,
        ),
        departed: true,
        nowMs: at(0, 8, 1),
        settings: sure(0.05, 0.3),
      }),
    ],
  ])('has chances all the same: %s', (_, input) => {
    const f = forecast(input);
    expectWhole(f);
    expect(f.trailhead.q50).toBeGreaterThan(input.nowMs);
  });
});

function sure(sigma: number, prior: number): Record<string, number> {
  const stages = ['LeadFree', 'LeadAid', 'Fix', 'Haul', 'Follow', 'Third', 'Changeover'];
  return {
    ...Object.fromEntries(stages.map((name) => [`sigma${name}`, sigma])),
    priorParty: prior,
    priorAid: prior,
    priorLeader: prior,
  };
}

describe('when the days run out', () => {
  it('nobody is down who never gets up', () => {
    const f = forecast(
      bigWall({
        pitches: route(9).map((p) => ({
          ...p,
          actual: p.number < 9 ? { doneAtMs: at(0, 7 + p.number) } : { startedAtMs: at(0, 16, 30) },
        })),
        departed: true,
        nowMs: at(0, 17),
        days: days(6),
        holdUntilMs: at(5, 21),
      }),
    );
    expectWhole(f);
    expect(f.unfinished).toBe(1);
    expect(f.trailhead.q10).toBe(Number.POSITIVE_INFINITY);
    // Nobody walks out who isn't at the trailhead.
    expect(f.shuttle?.chanceWalk).toBe(0);
  });

  it('a pitch begun on the last day is still finished, however long it is', () => {
    const pitches = route(2, 99).map((p) => ({ ...p, expectedMin: 2400 }));
    expectAgreement(trip({ pitches, days: days(3), settings: { pushMaxMin: 1440 } }));
  });
});

describe('a long and doubtful way down', () => {
  it.each([
    [2880, 1],
    [1440, 1],
    [2880, 0.5],
  ])('of %d min, σ %d, keeps its quantiles', (min, sigmaDescent) => {
    const pitches = route(3, 99).map((p) => ({ ...p, lengthM: 15 }));
    const light = days(60).map((day) => ({ startMs: day.startMs, stopMs: day.stopMs }));
    const input = trip({
      pitches,
      days: light,
      descent: { kind: 'given', min },
      settings: { sigmaDescent },
    });
    const f = forecast(input);
    // The climb takes some hours; what is left of the quantiles is the descent's own: m·e^(σz).
    const topMin = (f.topout.q50 - input.nowMs) / MIN_MS;
    for (const [q, z] of [
      ['q10', -1.2816],
      ['q50', 0],
      ['q90', 1.2816],
    ] as const) {
      const found = (f.trailhead[q] - input.nowMs) / MIN_MS - topMin;
      expect(found / (min * Math.exp(sigmaDescent * z)), q).toBeCloseTo(1, 1);
    }
  });
});

it('a night in a hold at a bare stance is a night with nowhere to lie down', () => {
  const held = trip({
    nowMs: at(0, 16),
    departed: true,
    pitches: route(2, 99).map((p) => ({
      ...p,
      ...(p.number === 1 ? { actual: { doneAtMs: at(0, 10) } } : {}),
    })),
    pauses: [{ fromMs: at(0, 10), toMs: at(0, 16) }],
    holdUntilMs: at(1, 12),
  });
  const f = forecast(held);
  expect(f.exposedNight).toBeCloseTo(1, 6);
  expect(f.nextNight).toMatchObject({ pitch: 1 });
  // The line fixed above it makes it no better.
  const fixed = held.pitches.map((p) =>
    p.number === 2 ? { ...p, actual: { fixedAtMs: at(0, 11) } } : p,
  );
  expect(forecast({ ...held, pitches: fixed, pauses: [] }).exposedNight).toBeCloseTo(1, 6);
  // Lying down for it, they have the next one before them.
  const lying = forecast({
    ...held,
    nowMs: at(0, 23),
    settled: { sinceMs: at(0, 22), untilMs: at(1, 7) },
  });
  expect(lying.exposedNight).toBeLessThan(0.05);
});
