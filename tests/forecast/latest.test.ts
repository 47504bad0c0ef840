import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compile } from '../../src/forecast/compile.ts';
import { drawAscent, newAscent } from '../../src/forecast/draw.ts';
import { latestTimes, startLatestTimes } from '../../src/forecast/latest.ts';
import { layOut } from '../../src/forecast/lay-out.ts';
import type { ForecastCutoff, ForecastInput } from '../../src/forecast/model.ts';
import { legTables } from '../../src/forecast/tables.ts';
import { finishOf } from '../../src/forecast/work-clock.ts';
import { at, bigWall, days, MIN_MS, trip } from './fixture.ts';

const cutoff = (id: string, atMs: number, target: ForecastCutoff['target']): ForecastCutoff => {
  return { id, kind: 'own', label: id, atMs, target };
};

/** Share of the same ascents, run forwards from the stance after `leg` legs at `atMs`, that are in time. */
function forwards(input: ForecastInput, leg: number, atMs: number, by: ForecastCutoff): number {
  const c = compile(input);
  const tables = legTables(c);
  const a = newAscent(c);
  const legMin = c.rules.legMin.slice();
  const state = { ...c.state, leg, readyMin: (atMs - input.nowMs) / MIN_MS };
  const from = { ...c, state, rules: { ...c.rules, legMin } };
  const line = {
    beginMin: new Float64Array(c.legs.length),
    endMin: new Float64Array(c.legs.length),
    exposed: false,
    nightLeg: -1,
  };
  const byMin = (by.atMs - input.nowMs) / MIN_MS;
  let met = 0;
  for (let i = 0; i < input.ascents; i++) {
    drawAscent(c, tables, a, i);
    // The lead it came by is this ascent's own.
    if (leg > 0) legMin[leg - 1] = a.workMin[leg - 1] as number;
    let t = layOut(from, a, line);
    if (typeof by.target === 'object') t = line.endMin[by.target.pitch - 1] as number;
    if (by.target === 'trailhead') t = finishOf(c.wayOut.clock, t, a.descentMin);
    if (t <= byMin + 1e-6) met++;
  }
  return met / input.ascents;
}

describe('latest times', () => {
  const input = trip({ ascents: 500, days: days(6) });

  it.each([
    ['a top-out in three days', cutoff('top', at(2, 18), 'topout')],
    ['the road by dusk', cutoff('road', at(2, 21), 'trailhead')],
    ['a pitch before the weather', cutoff('rain', at(1, 15), { pitch: 7 })],
    ['a top-out with two nights planned', cutoff('top', at(2, 18), 'topout'), [3, 6]],
  ] as [string, ForecastCutoff, number[]?][])(
    'are the last that keep the chance, for %s, run forwards',
    (_, by, pitches = []) => {
      const nights = pitches.map((pitch, day) => ({ pitch, day, eveningMin: 60, morningMin: 60 }));
      const planned = { ...input, plan: { nights } };
      const all = latestTimes({ ...planned, cutoffs: [by] });
      const known = all.filter((l) => l.latestMs !== undefined);
      expect(known.length).toBeGreaterThan(3);
      for (const l of known) {
        if (typeof by.target === 'object' && l.pitch >= by.target.pitch) continue;
        const ms = l.latestMs as number;
        if (l.pitch === 10 && by.target === 'topout') continue;
        expect(forwards(planned, l.pitch, ms, by), `pitch ${l.pitch}`).toBeGreaterThanOrEqual(0.9);
        expect(forwards(planned, l.pitch, ms + MIN_MS, by), `pitch ${l.pitch}`).toBeLessThan(0.915);
      }
    },
  );

  it('grow along the route, for every cutoff and all together', () => {
    const hour = fc.integer({ min: 20, max: 70 });
    const confidence = fc.constantFrom(0.5, 0.8, 0.9, 0.99);
    fc.assert(
      fc.property(hour, hour, confidence, (a, b, p) => {
        const cutoffs = [cutoff('a', at(0, a), 'topout'), cutoff('b', at(0, b), 'down')];
        const all = latestTimes({ ...input, ascents: 200, confidence: p, cutoffs });
        const growing = (times: number[]): void =>
          times.forEach((ms, i) => {
            if (i > 0) expect(ms).toBeGreaterThanOrEqual(times[i - 1] as number);
          });
        // What can't be met comes first: once a stance has a latest time, so have all above.
        growing(all.map((l) => l.latestMs ?? Number.NEGATIVE_INFINITY));
        growing(all.map((l) => l.byCutoff[0]?.latestMs ?? Number.NEGATIVE_INFINITY));
      }),
      { numRuns: 25 },
    );
  });

  it('are later without a cutoff, later for less confidence, later for a later cutoff', () => {
    const time = (over: Partial<ForecastInput>): number[] =>
      latestTimes({ ...input, ...over }).map((l) => l.latestMs ?? 0);
    const top = cutoff('top', at(2, 18), 'topout');
    const rain = cutoff('rain', at(1, 15), { pitch: 7 });
    const both = time({ cutoffs: [top, rain] });
    const notEarlier = (a: number[], b: number[]): void =>
      a.forEach((ms, i) => {
        expect(ms).toBeGreaterThanOrEqual(b[i] as number);
      });
    notEarlier(time({ cutoffs: [top] }), both);
    notEarlier(time({ cutoffs: [top], confidence: 0.6 }), time({ cutoffs: [top] }));
    notEarlier(time({ cutoffs: [{ ...top, atMs: at(2, 19) }] }), time({ cutoffs: [top] }));
  });

  it('name the cutoff that asks for them, and say when none can be met', () => {
    const impossible = cutoff('soon', at(0, 8), 'topout');
    const all = latestTimes({ ...input, cutoffs: [impossible] });
    expect(all[0]).toEqual({ pitch: 0, cutoff: 'soon', byCutoff: [{ id: 'soon' }] });
    expect(all.at(-1)?.latestMs).toBe(at(0, 8));
    expect(latestTimes(input).every((l) => l.latestMs === undefined)).toBe(true);
  });

  it('allow nothing before a hold is over', () => {
    const top = cutoff('top', at(2, 18), 'topout');
    const held = latestTimes({ ...input, cutoffs: [top], holdUntilMs: at(2, 12) });
    const ground = held.find((l) => l.pitch === 0);
    expect(ground?.latestMs).toBeUndefined();
    expect(held.at(-1)?.latestMs).toBe(at(2, 18));
  });

  it('come for several chances from one run, the surer the earlier, as each would by itself', () => {
    const input = bigWall({ ascents: 500 });
    const confidences = [0.9, 0.75, 0.5];
    const run = startLatestTimes(input, confidences);
    while (!run.step(100));
    const all = run.result();
    expect(all).toEqual(confidences.map((confidence) => latestTimes({ ...input, confidence })));
    const boat = (i: number) => all[i]?.[0]?.byCutoff.find((c) => c.id === 'rain')?.latestMs ?? 0;
    expect(boat(0)).toBeLessThanOrEqual(boat(1));
    expect(boat(1)).toBeLessThanOrEqual(boat(2));
  });

  it('leave out what is done or under way, and come out the same in slices', () => {
    const told = bigWall({
      ascents: 200,
      nowMs: at(0, 9),
      departed: true,
      pitches: bigWall().pitches.map((p) =>
        p.number <= 2 ? { ...p, actual: { doneAtMs: at(0, 7, 40 * p.number) } } : p,
      ),
    });
    const whole = latestTimes(told);
    expect(whole[0]?.pitch).toBe(3);
    const run = startLatestTimes(told);
    expect(() => run.result()).toThrow('not finished');
    while (!run.step(33));
    expect(run.result()).toEqual([whole]);
  });
});
