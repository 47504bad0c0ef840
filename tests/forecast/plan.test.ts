import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compile } from '../../src/forecast/compile.ts';
import { drawAscent, newAscent } from '../../src/forecast/draw.ts';
import { forecast } from '../../src/forecast/forecast.ts';
import { latestTimes } from '../../src/forecast/latest.ts';
import { layOut, newTimeline } from '../../src/forecast/lay-out.ts';
import type { ForecastInput, ForecastPitch } from '../../src/forecast/model.ts';
import { freezePlan } from '../../src/forecast/schedule.ts';
import { legTables } from '../../src/forecast/tables.ts';
import { at, DAY0_MS, HOUR_MS, MIN_MS, route, trip } from './fixture.ts';

const DAY_MS = 24 * HOUR_MS;
const night = (pitch: number, min = 60, day = 0) => ({
  pitch,
  day,
  eveningMin: min,
  morningMin: min,
});

const inOrder = (pitches: readonly number[]) => [...pitches].sort((a, b) => a - b);

/** Days without sun: no place given. */
const plainDays = (count: number, stopHour = 21) =>
  Array.from({ length: count }, (_, d) => ({ startMs: at(d, 7), stopMs: at(d, stopHour) }));

/** Nine free pitches that a quick party may do in a day, meant for two: a night on the ledge after 5. */
function twoDays(over: Partial<ForecastInput> = {}): ForecastInput {
  const pitches = route(9, 99).map(
    (p): ForecastPitch => ({
      ...p,
      bivy: { kind: p.number === 5 ? 'ledge' : 'none' },
    }),
  );
  return trip({
    nowMs: at(0, -5),
    haulBag: false,
    pitches,
    days: plainDays(9),
    plan: { nights: [night(5)] },
    cutoffs: [{ id: 'boat', kind: 'shuttle', label: '', atMs: at(1, 21), target: 'trailhead' }],
    ascents: 1000,
    ...over,
  });
}

/** Legs of every drawn ascent: begun and done, by leg, minutes since now. */
function* drawn(input: ForecastInput, count: number) {
  const c = compile(input);
  const tables = legTables(c);
  const a = newAscent(c);
  const line = newTimeline(c);
  for (let i = 0; i < count; i++) {
    drawAscent(c, tables, a, i);
    layOut(c, a, line);
    yield { c, ...line };
  }
}

describe('a wall meant for two days', () => {
  it('is forecast for two days the evening before', () => {
    const f = forecast(twoDays());
    expect(f.topout.q10).toBeGreaterThan(at(1, 7));
    expect(f.topout.q90).toBeLessThan(at(1, 21));
    expect(f.nights[0]).toBe(0);
    expect(f.nights[1]).toBeGreaterThan(0.95);
    // Without the plan it may be climbed through.
    expect(forecast(twoDays({ plan: { nights: [] } })).nights[0]).toBeGreaterThan(0.1);
  });

  it('freezes planned and latest times that obey the night', () => {
    const input = twoDays();
    const plan = freezePlan(forecast(input), latestTimes(input));
    expect(plan).toHaveLength(9);
    for (const { pitch, plannedMs, latestMs } of plan) {
      const day = pitch <= 5 ? 0 : 1;
      expect(plannedMs, `pitch ${pitch}`).toBeGreaterThan(at(day, 7));
      expect(plannedMs, `pitch ${pitch}`).toBeLessThan(at(day, 21));
      expect(latestMs, `pitch ${pitch}`).toBeGreaterThan(at(day, 0));
    }
    // Who slept lower down on the first evening passes the ledge next day, and may still meet the boat.
    expect(plan[4]?.latestMs).toBeGreaterThan(at(1, 7));
    expect(plan[4]?.latestMs).toBeLessThan(plan[5]?.latestMs as number);
  });

  it('stays where it is until the morning once it is at the ledge early', () => {
    const pitches = twoDays().pitches.map((p) =>
      p.number <= 5 ? { ...p, actual: { doneAtMs: at(0, 7 + p.number) } } : p,
    );
    const f = forecast(twoDays({ pitches, departed: true, nowMs: at(0, 12, 5) }));
    expect(f.checkpoints[5]?.done.q10).toBeGreaterThan(at(1, 7));
    const next = forecast(twoDays({ pitches, departed: true, nowMs: at(1, 7, 30) }));
    expect(next.checkpoints[5]?.done.q50).toBeLessThan(at(1, 8, 30));
    // Settled, or gone past, it isn't asked again: the plan has no such night any more.
    const settled = { sinceMs: at(0, 13), untilMs: at(1, 6) };
    const kept = { pitches, departed: true, nowMs: at(0, 14), settled, plan: { nights: [] } };
    expect(forecast(twoDays(kept)).checkpoints[5]?.done.q50).toBeLessThan(at(1, 7, 30));
  });
});

describe('who sleeps lower down than planned', () => {
  it('passes the planned ledge next day without a second night', () => {
    // Ten hours for five pitches, begun at noon: most are caught below the ledge.
    const slow = twoDays({ plannedStartMs: at(0, 12), settings: { pushMaxMin: 0 } });
    const late = slow.pitches.map((p) => ({
      ...p,
      bivy: { kind: 'ledge' as const },
      expectedMin: 120,
    }));
    const f = forecast({ ...slow, pitches: late });
    expect(f.nights[2]).toBeLessThan(0.5);
    expect(f.topout.q50).toBeLessThan(at(2, 7));
    let seen = 0;
    for (const { beginMin, endMin } of drawn({ ...slow, pitches: late }, 200)) {
      const [there, off] = [endMin[4] as number, beginMin[5] as number];
      const nextDay = (at(1, 7) - slow.nowMs) / MIN_MS;
      if (there > nextDay + 200 && there < nextDay + 300) {
        seen++;
        expect(off - there).toBeLessThan(1);
      }
    }
    expect(seen).toBeGreaterThan(10);
  });
});

describe('a night planned on top', () => {
  it('has the way down begin next morning, forwards and backwards', () => {
    const input = twoDays({ plan: { nights: [night(9)] } });
    const f = forecast(input);
    expect(f.trailhead.q10).toBeGreaterThan(at(1, 8));
    const without = forecast(twoDays({ plan: { nights: [] } }));
    expect(f.topout).toEqual(without.topout);
    // Up by the first evening they sleep there; up next day they have slept lower down.
    expect(f.nights[1]).toBeCloseTo(
      (without.nights[0] as number) + (without.nights[1] as number),
      12,
    );
    const top = latestTimes(input).at(-1)?.latestMs as number;
    // The descent of about two hours starts at seven at the earliest, rested: topped out before that.
    // Topped out by then; or on that day itself, straight down, by those who slept lower.
    expect(top).toBeGreaterThan(at(1, 7));
    expect(top).toBeLessThan(at(1, 20));
    const up = input.pitches.map((p) => ({ ...p, actual: { doneAtMs: at(0, 8 + p.number) } }));
    const there = { ...input, pitches: up, departed: true, nowMs: at(0, 18) };
    expect(forecast(there).trailhead.q10).toBeGreaterThan(at(1, 8));
    const left = { ...there, plan: { nights: [] }, nowMs: at(1, 9), descentFromMs: at(1, 8) };
    expect(forecast(left).trailhead.q50).toBeLessThan(at(1, 10, 15));
  });
});

describe('every drawn ascent', () => {
  const plans = fc.uniqueArray(fc.integer({ min: 1, max: 11 }), { maxLength: 4 });

  it('sleeps where it is planned, rests, and moves no earlier than the day starts', () => {
    fc.assert(
      fc.property(plans, fc.boolean(), fc.integer({ min: 0, max: 240 }), (pitches, beds, rest) => {
        const input = trip({
          pitches: route(12, 4).map((p) => ({ ...p, bivy: { kind: beds ? 'ledge' : 'none' } })),
          days: plainDays(14, 20),
          plan: { nights: inOrder(pitches).map((p, day) => night(p, 30, day)) },
          settings: { leastRestMin: rest },
        });
        const startMin = input.days.map((d) => (d.startMs - input.nowMs) / MIN_MS);
        for (const { c, beginMin, endMin } of drawn(input, 100)) {
          for (const pitch of pitches) {
            const arrived = endMin[pitch - 1] as number;
            const off = beginMin[pitch] as number;
            const day = startMin.findLastIndex((min) => min < arrived);
            // Who comes after the night's day has slept lower down, and isn't held here again.
            if (day > inOrder(pitches).indexOf(pitch)) continue;
            const start = startMin[day + 1] as number;
            const cut = start + (endMin[pitch - 1] as number) - (beginMin[pitch - 1] as number);
            expect(off).toBeGreaterThanOrEqual(start);
            expect(off).toBeGreaterThanOrEqual(Math.min(arrived + rest + 60, cut) - 1e-6);
          }
          // No pitch is begun after the stop time by a party that can wait.
          c.rules.refuge.slice(0, 12).forEach((refuge, k) => {
            if (refuge === 0) return;
            const day = startMin.findLastIndex((min) => min <= (beginMin[k] as number));
            expect(beginMin[k]).toBeLessThanOrEqual((startMin[day] as number) + 13 * 60);
          });
        }
      }),
      { numRuns: 25 },
    );
  });

  it('moves by a day when the plan is moved by a day', () => {
    fc.assert(
      fc.property(plans, fc.integer({ min: 1, max: 3 }), (pitches, by) => {
        const shift = <T extends number | undefined>(ms: T) => (ms as number) + by * DAY_MS;
        const input = twoDays({
          plan: {
            nights: inOrder(pitches.filter((p) => p < 9)).map((p, day) => night(p, 60, day)),
          },
        });
        const moved = {
          ...input,
          nowMs: shift(input.nowMs),
          plannedStartMs: shift(input.plannedStartMs),
          days: input.days.map((d) => ({ startMs: shift(d.startMs), stopMs: shift(d.stopMs) })),
        };
        const later = forecast(moved);
        const first = forecast(input);
        const all = [...first.checkpoints.map((c) => c.done), first.topout, first.trailhead];
        const theirs = [...later.checkpoints.map((c) => c.done), later.topout, later.trailhead];
        all.forEach((q, i) => {
          expect(theirs[i]).toEqual({ q10: shift(q.q10), q50: shift(q.q50), q90: shift(q.q90) });
        });
        expect(later.nights).toEqual(first.nights);
        // The evening stays where it is, and only the plan moves.
        const same = forecast({ ...moved, nowMs: input.nowMs });
        expect(same.topout.q50 - later.topout.q50).toBe(0);
      }),
      { numRuns: 10 },
    );
  });

  it('starts each day at its own time', () => {
    const late = plainDays(9).map((d, i) => (i === 1 ? { ...d, startMs: at(1, 10) } : d));
    const usual = forecast(twoDays()).topout.q50;
    const later = forecast(twoDays({ days: late })).topout.q50 - usual;
    // All but the few that are caught by the dark then.
    expect(Math.abs(later - 3 * HOUR_MS)).toBeLessThan(60_000);
  });
});

describe('departing', () => {
  it('says nothing of the pace while the approach isn’t known', () => {
    const waiting = (over: Partial<ForecastInput>) =>
      forecast(
        twoDays({ departed: true, plan: { nights: [] }, nowMs: DAY0_MS + 10 * HOUR_MS, ...over }),
      );
    const unsure = waiting({ startUnsure: true });
    const known = waiting({});
    // Three hours in one pitch: slow, if it was begun; if it wasn't, only late.
    expect(unsure.topout.q50).toBeLessThan(known.topout.q50);
    expect(unsure.topout.q50).toBeGreaterThan(waiting({ nowMs: at(0, 7) }).topout.q50);
  });

  it('is followed by the approach, and pitch 1 learnt from its end', () => {
    const told = (plannedStartMs?: number) => {
      const pitches = twoDays().pitches.map((p) =>
        p.number === 1 ? { ...p, actual: { doneAtMs: at(0, 11) } } : p,
      );
      const { plannedStartMs: _, ...rest } = twoDays({ pitches, departed: true, nowMs: at(0, 11) });
      return forecast({ ...rest, ...(plannedStartMs === undefined ? {} : { plannedStartMs }) }).pace
        .party;
    };
    expect(told().stages).toBe(0);
    expect(told().factor).toBe(1);
    expect(told(at(0, 10)).stages).toBe(1);
    expect(told(at(0, 7)).factor).toBeGreaterThan(told(at(0, 10)).factor);
  });
});
