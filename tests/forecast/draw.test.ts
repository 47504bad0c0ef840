import { describe, expect, it } from 'vitest';
import { type Compiled, compile } from '../../src/forecast/compile.ts';
import { drawAscent, newAscent } from '../../src/forecast/draw.ts';
import { forecast } from '../../src/forecast/forecast.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { legTables } from '../../src/forecast/tables.ts';
import { at, days, MIN_MS, route, trip } from './fixture.ts';
import { reference } from './reference/random.ts';

/** One pitch done on time at 08:00; the next under way for so many minutes. */
function underWay(minutes: number, over: Partial<ForecastInput> = {}): ForecastInput {
  const pitches = route(8, 99).map((p) =>
    p.number === 1 ? { ...p, actual: { doneAtMs: at(0, 8) } } : p,
  );
  const nowMs = at(0, 8) + minutes * MIN_MS;
  return trip({ pitches, departed: true, nowMs, days: days(9), ...over });
}

interface Drawn {
  effects: number[][];
  left: number[];
}

function draw(c: Compiled, count: number): Drawn {
  const tables = legTables(c);
  const a = newAscent(c);
  const out: Drawn = { effects: [], left: [] };
  for (let i = 0; i < count; i++) {
    drawAscent(c, tables, a, i);
    out.effects.push([...a.effects]);
    out.left.push(a.workMin[c.state.leg] as number);
  }
  return out;
}

function covariance(rows: number[][], i: number, j: number): number {
  const mean = (k: number): number => rows.reduce((s, r) => s + (r[k] as number), 0) / rows.length;
  const [mi, mj] = [mean(i), mean(j)];
  return (
    rows.reduce((s, r) => s + ((r[i] as number) - mi) * ((r[j] as number) - mj), 0) / rows.length
  );
}

/** Student's t with four degrees of freedom, made the plain way. */
function student(random: ReturnType<typeof reference>): number {
  const squares = [0, 1, 2, 3].reduce((sum) => sum + random.normal() ** 2, 0);
  return random.normal() / Math.sqrt(squares / 4);
}

describe('the pitch under way', () => {
  it('leaves pace as believed while no time has passed', () => {
    const c = compile(underWay(0));
    expect(c.underWay?.survival).toBe(1);
    const { effects } = draw(c, 30_000);
    c.posterior.mean.forEach((m, i) => {
      const mean = effects.reduce((s, e) => s + (e[i] as number), 0) / effects.length;
      expect(mean).toBeCloseTo(m, 2);
      c.posterior.covariance[i]?.forEach((v, j) => {
        expect(covariance(effects, i, j)).toBeCloseTo(v, 2);
        expect(Math.abs(covariance(effects, i, j) - v)).toBeLessThan(0.03 * 0.09 + 0.0006);
      });
    });
  });

  // By rejection: draw pace and time together, keep what is longer than the time spent.
  it.each([30, 150, 260])(
    'after %d min says of itself and of pace what rejection says',
    (spent) => {
      const c = compile(underWay(spent));
      const { mean, covariance: cov } = c.posterior;
      const leg = c.legs[c.state.leg] as Compiled['legs'][number];
      const weights = leg.whole.weights;
      const { mu, sigma } = leg.whole.span;
      const party = cov[0]?.[0] as number;
      const along = weights.map((_, i) =>
        weights.reduce((s, w, j) => s + w * (cov[i]?.[j] as number), 0),
      );
      const variance = weights.reduce((s, w, i) => s + w * (along[i] as number), 0);
      const centre = weights.reduce((s, w, i) => s + w * (mean[i] as number), 0);
      const { sigmaPitch, incidentChance, incidentMin, sigmaIncident } = c.settings;
      const random = reference(5);
      const kept: { time: number; party: number }[] = [];
      while (kept.length < 20_000) {
        const pace = Math.sqrt(variance) * random.normal();
        const noise = sigma * random.normal() + sigmaPitch * student(random);
        const hit = random.uniform() < incidentChance;
        const lost = hit ? incidentMin * Math.exp(sigmaIncident * random.normal()) : 0;
        const time = Math.exp(mu + centre + pace + noise) + lost;
        const slope = (along[0] as number) / variance;
        const rest = Math.sqrt(Math.max(0, party - slope * (along[0] as number)));
        const own = (mean[0] as number) + slope * pace + rest * random.normal();
        if (time > spent) kept.push({ time, party: own });
      }
      const drawn = draw(c, 20_000);
      const average = (xs: number[]): number => xs.reduce((s, x) => s + x, 0) / xs.length;
      const time = average(drawn.left) + (c.underWay?.spentMin as number);
      expect(Math.abs(time / average(kept.map((k) => k.time)) - 1)).toBeLessThan(0.015);
      const pace = average(drawn.effects.map((e) => e[0] as number));
      expect(Math.abs(pace - average(kept.map((k) => k.party)))).toBeLessThan(0.012);
      const spread = covariance(drawn.effects, 0, 0);
      const meanKept = average(kept.map((k) => k.party));
      const spreadKept = average(kept.map((k) => (k.party - meanKept) ** 2));
      expect(Math.abs(spread / spreadKept - 1)).toBeLessThan(0.06);
    },
  );

  it('that won’t end says the party is slow, but only as far as an outlier may', () => {
    const top = (minutes: number): number => forecast(underWay(minutes)).topout.q50;
    const left = (minutes: number): number => top(minutes) - (at(0, 8) + minutes * MIN_MS);
    // An hour over the usual: what is left of the wall has grown, not shrunk by the hour.
    expect(left(240)).toBeGreaterThan(left(120));
    const pace = (minutes: number): number => {
      const { effects } = draw(compile(underWay(minutes)), 2000);
      return effects.reduce((s, e) => s + (e[0] as number), 0) / effects.length;
    };
    expect(pace(240)).toBeGreaterThan(pace(60) + 0.1);
    expect(pace(60 * 24) - pace(60 * 12)).toBeLessThan(0.01);
  });

  it('isn’t charged for a break or a hold', () => {
    const spent = (over: Partial<ForecastInput>): number =>
      compile(underWay(120, over)).underWay?.spentMin as number;
    expect(spent({})).toBe(120);
    const withBreak = underWay(120).pitches.map((p) =>
      p.number === 2 ? { ...p, actual: { breakMin: 45 } } : p,
    );
    expect(spent({ pitches: withBreak })).toBeCloseTo(75, 9);
    const hold = { fromMs: at(0, 9), toMs: at(0, 10) };
    expect(spent({ pauses: [hold], holdUntilMs: at(0, 12) })).toBeCloseTo(60, 9);
    const held = forecast(underWay(120, { pauses: [hold], holdUntilMs: at(0, 12) }));
    expect(held.checkpoints[1]?.done.q10).toBeGreaterThan(at(0, 12));
  });
});
