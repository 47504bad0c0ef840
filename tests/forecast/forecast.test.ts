import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { forecast, quickForecast, startForecast } from '../../src/forecast/forecast.ts';
import { ASCENTS } from '../../src/forecast/input.ts';
import type { ForecastInput, ForecastPitch } from '../../src/forecast/model.ts';
import { drawnAscents } from './ascents.ts';
import { at, bigWall, days, MIN_MS, route, trip } from './fixture.ts';

type Told = Record<number, ForecastPitch['actual']>;

function under(actual: Told, over: Partial<ForecastInput> = {}): ForecastInput {
  const pitches = (over.pitches ?? route(8)).map((p) => {
    const own = actual[p.number];
    return own ? { ...p, actual: own } : p;
  });
  return trip({ departed: true, ascents: 400, ...over, pitches });
}

const tops = (input: ForecastInput): number[] => Object.values(forecast(input).topout);

function expectNotEarlier(later: number[], earlier: number[], slackMs = 0): void {
  later.forEach((ms, i) => {
    expect(ms).toBeGreaterThanOrEqual((earlier[i] as number) - slackMs);
  });
}

/** What the draw may move a quantile by, minutes: the lattice is laid by the route, so another route has other luck. */
const NOISE_MIN = 2;
/** And by which they may get out of order from one moment to the next: under half a second in thousands tried. */
const ORDER_MS = 2000;

describe('the forecast', () => {
  it('is the same to the millisecond for the same input, whole, in slices, and quick', () => {
    const input = bigWall({ ascents: 600 });
    const whole = forecast(input);
    expect(forecast(input)).toEqual(whole);
    const run = startForecast(input);
    expect(() => run.result()).toThrow('not finished');
    let slices = 0;
    while (!run.step(70)) slices++;
    // Eight for the ascents, the rest to sum them up.
    expect(slices).toBeGreaterThan(20);
    expect(run.result()).toEqual(whole);
    const quick = quickForecast(input);
    expect(quick.topout).toEqual(whole.topout);
    expect(quick.cutoffs).toEqual(whole.cutoffs);
    expect(quick.next).toEqual({ pitch: 1, done: whole.checkpoints[0]?.done });
    expect(quick.pace).toEqual(whole.pace);
    expect(forecast({ ...input, seed: 8 }).topout).not.toEqual(whole.topout);
  });

  it('has its checkpoints in order, told ones as told', () => {
    const f = forecast(
      under({ 1: { doneAtMs: at(0, 8) }, 2: { doneAtMs: at(0, 11) } }, { nowMs: at(0, 11) }),
    );
    expect(f.checkpoints.map((c) => c.pitch)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(f.checkpoints[1]).toEqual({
      pitch: 2,
      actual: at(0, 11),
      done: { q10: at(0, 11), q50: at(0, 11), q90: at(0, 11) },
    });
    for (const q of ['q10', 'q50', 'q90'] as const) {
      const times = f.checkpoints.map((c) => c.done[q]);
      expect(times).toEqual([...times].sort((a, b) => a - b));
    }
    expect(f.nights.reduce((a, b) => a + b, 0) + f.unfinished).toBeCloseTo(1, 4);
  });

  it('starts when the party starts: planned, late, or after a hold', () => {
    const first = (over: Partial<ForecastInput>): number =>
      forecast(trip({ ascents: 400, ...over })).checkpoints[0]?.done.q50 as number;
    const planned = first({});
    const later = (over: Partial<ForecastInput>): number => (first(over) - planned) / MIN_MS;
    expect(Math.abs(later({ nowMs: at(0, 9) }) - 120)).toBeLessThan(NOISE_MIN);
    expect(Math.abs(later({ holdUntilMs: at(0, 10) }) - 180)).toBeLessThan(NOISE_MIN);
  });

  it('never has a pitch done before now, however long ago the last post was', () => {
    for (const hours of [1, 3, 9, 30]) {
      const nowMs = at(0, 9) + hours * 60 * MIN_MS;
      const f = forecast(under({ 1: { doneAtMs: at(0, 9) } }, { nowMs, days: days(9) }));
      expect(f.checkpoints[1]?.done.q10).toBeGreaterThanOrEqual(nowMs);
    }
  });

  it('goes on after the night the party is settled in, on the same pitch or the next', () => {
    const settled = { sinceMs: at(0, 19), untilMs: at(1, 6, 30) };
    const over = { nowMs: at(0, 23), settled };
    const f = forecast(under({ 3: { doneAtMs: at(0, 19) } }, over));
    expect(f.checkpoints[1]?.pitch).toBe(4);
    expect(f.checkpoints[1]?.done.q10).toBeGreaterThan(at(1, 6, 30));
    expect(f.checkpoints[1]?.done.q10).toBeLessThan(at(1, 8, 30));
    const half = forecast(under({ 4: { startedAtMs: at(0, 18) } }, over));
    expect(half.checkpoints[0]?.done.q50).toBeLessThan(f.checkpoints[1]?.done.q50 as number);
    expect(half.checkpoints[0]?.done.q10).toBeGreaterThan(at(1, 6, 30));
  });

  it('knows the top: a told top-out stands, and the way down goes on from it', () => {
    const topped = under({ 8: { doneAtMs: at(0, 16) } }, { nowMs: at(0, 17) });
    const f = forecast(topped);
    expect(f.topout).toEqual({ q10: at(0, 16), q50: at(0, 16), q90: at(0, 16) });
    expect(f.trailhead.q10).toBeGreaterThan(at(0, 17));
    expect(f.trailhead.q50 - at(0, 18)).toBeLessThan(20 * MIN_MS);
    // Four hours after a descent of two nobody is there in the past.
    expect(forecast({ ...topped, nowMs: at(0, 20) }).trailhead.q10).toBeGreaterThan(at(0, 20));
  });

  it('says how likely it is that no end is found in the days given', () => {
    const f = forecast(trip({ pitches: route(30), days: days(2), ascents: 400 }));
    expect(f.unfinished).toBeGreaterThan(0.5);
    expect(f.topout.q90).toBe(Number.POSITIVE_INFINITY);
  });

  it('has people hang only at hanging stances, the belayer longest', () => {
    const f = forecast(trip({ ascents: 400 }));
    const hanging = new Set(route(10).flatMap((p) => (p.stance === 'hanging' ? [p.number] : [])));
    expect(f.hanging.length).toBeGreaterThan(6);
    for (const h of f.hanging) {
      expect(hanging.has(h.pitch)).toBe(true);
      expect(h.q90Min).toBeGreaterThan(h.medianMin);
      expect(h.medianMin).toBeLessThan(240);
    }
    // Mara leads the odd pitches. After 2 Jonas has led, so he belays her on 3 and hangs longer.
    const [mara, jonas] = f.hanging.filter((h) => h.pitch === 2);
    expect(mara?.climber).toBe('mara');
    expect(jonas?.medianMin).toBeGreaterThan((mara?.medianMin as number) * 2);
  });

  it('can do without any spread between parties of a class', () => {
    for (const party of ['efficient', 'average', 'first'] as const) {
      const f = forecast(
        under(
          { 1: { doneAtMs: at(0, 9) } },
          { party, nowMs: at(0, 9), settings: { priorClass: 0 } },
        ),
      );
      expect(f.topout.q10).toBeGreaterThan(at(0, 9));
      expect(f.topout.q90).toBeGreaterThan(f.topout.q10);
    }
  });

  it('refuses what it can’t compute', () => {
    expect(() => forecast(trip({ pitches: [] }))).toThrow(RangeError);
    expect(() => forecast(trip({ days: [] }))).toThrow(RangeError);
    expect(() => forecast(trip({ ascents: 0 }))).toThrow(RangeError);
    expect(() => forecast(trip({ settings: { darkFactor: 0.5 } }))).toThrow(RangeError);
  });
});

describe('properties', () => {
  const minute = fc.integer({ min: 20, max: 400 });
  const said = fc.constantFrom(
    undefined,
    'efficient' as const,
    'average' as const,
    'first' as const,
  );

  it('a later completion never makes the top-out earlier, told when it happens', () => {
    fc.assert(
      fc.property(said, minute, minute, minute, (party, a, b, c) => {
        const [early, late] = [Math.min(b, c), Math.max(b, c)];
        const told = (second: number): ForecastInput => {
          const one = at(0, 7) + a * MIN_MS;
          const two = one + second * MIN_MS;
          return under(
            { 1: { doneAtMs: one }, 2: { doneAtMs: two } },
            { nowMs: two, days: days(9), ...(party ? { party } : {}) },
          );
        };
        expectNotEarlier(tops(told(late)), tops(told(early)), ORDER_MS);
      }),
      { numRuns: 40 },
    );
  });

  it('nor told later than it happened, while the next pitch is no longer than usual', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 45 }), fc.integer({ min: 0, max: 45 }), (a, b) => {
        const [early, late] = [Math.min(a, b), Math.max(a, b)];
        const told = (m: number): ForecastInput =>
          under({ 1: { doneAtMs: at(0, 8, m) } }, { nowMs: at(0, 9), days: days(9) });
        expectNotEarlier(tops(told(late)), tops(told(early)), ORDER_MS);
      }),
      { numRuns: 30 },
    );
  });

  it('time that passes without a post never makes the top-out earlier', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 600 }), fc.integer({ min: 0, max: 600 }), (a, b) => {
        const told = (m: number): ForecastInput =>
          under({ 1: { doneAtMs: at(0, 8) } }, { nowMs: at(0, 8) + m * MIN_MS, days: days(9) });
        expectNotEarlier(tops(told(Math.max(a, b))), tops(told(Math.min(a, b))), MIN_MS);
      }),
      { numRuns: 30 },
    );
  });

  it('more margin never lowers a chance, and dropping a cutoff never hurts', () => {
    const hour = fc.integer({ min: 6, max: 80 });
    fc.assert(
      fc.property(hour, hour, hour, (a, b, c) => {
        const cutoff = (id: string, h: number) => {
          const atMs = at(0, h);
          return { id, kind: 'own', label: id, atMs, target: 'topout' } as const;
        };
        const input = trip({ ascents: 300 });
        const chances = (...cutoffs: ReturnType<typeof cutoff>[]) =>
          forecast({ ...input, cutoffs: [...cutoffs] }).cutoffs;
        const [tight, wide] = chances(
          cutoff('tight', Math.min(a, b)),
          cutoff('wide', Math.max(a, b)),
        );
        expect(wide?.chance).toBeGreaterThanOrEqual(tight?.chance as number);
        const three = chances(cutoff('a', a), cutoff('b', b), cutoff('c', c));
        const two = chances(cutoff('a', a), cutoff('b', b));
        expect(two.map((x) => x.chance)).toEqual(three.slice(0, 2).map((x) => x.chance));
        const least = (all: { chance: number }[]): number => Math.min(...all.map((x) => x.chance));
        expect(least(two)).toBeGreaterThanOrEqual(least(three));
        expect(three.filter((x) => x.binds)).toHaveLength(1);
        expect(three.find((x) => x.binds)?.chance).toBe(least(three));
      }),
      { numRuns: 40 },
    );
  });

  it('harder, longer, darker, heavier is never quicker, ascent by ascent', () => {
    // Whose day a leg falls on may change with the route; days are alike here.
    const alike = { priorDay: 0, darkFactor: 1.6 };
    const base = trip({ ascents: 200, days: days(12), partySize: 3, settings: alike });
    const by = (over: Partial<ForecastInput>) => forecast({ ...base, ...over, ascents: ASCENTS });
    // By chance alone: the lattice is laid by the route, so another route has other luck.
    const drawn = (over: Partial<ForecastInput>) => drawnAscents({ ...base, ...over }, 200);
    const slower: Partial<ForecastInput>[] = [
      { pitches: base.pitches.map((p) => ({ ...p, lengthM: p.lengthM + 5 })) },
      { settings: { ...base.settings, darkFactor: 2 } },
      { settings: { ...base.settings, changeoverMin: 30, wallChangeoverMin: 40 } },
      { bagKg: 120 },
      { partySize: 4 },
      { holdUntilMs: at(0, 9) },
      { days: base.days.map((d) => ({ ...d, stopMs: d.stopMs - 90 * MIN_MS })) },
    ];
    const plain = by({});
    const usualAscents = drawn({});
    for (const over of slower) {
      drawn(over).forEach((column, leg) => {
        expect(column.every((min, i) => min >= (usualAscents[leg]?.[i] as number) - 1e-6)).toBe(
          true,
        );
      });
      const f = by(over);
      f.checkpoints.forEach((c, i) => {
        const usual = plain.checkpoints[i]?.done;
        expectNotEarlier(Object.values(c.done), Object.values(usual ?? {}), NOISE_MIN * MIN_MS);
      });
    }
    // Without a bed anywhere the party climbs into the night or sits it out.
    const open = by({ pitches: base.pitches.map((p) => ({ ...p, bivy: { kind: 'none' } })) });
    expect(open.exposedNight).toBeGreaterThan(0.3);
    // But for the few that climb through the whole night.
    const either = open.exposedNight + (open.nights[0] as number);
    expect(either).toBeGreaterThan(0.99);
    expect(either).toBeLessThanOrEqual(1);
    expect(plain.exposedNight).toBeLessThan(open.exposedNight);
  });
});
