import { describe, expect, it } from 'vitest';
import { totalMass } from '../../../src/forecast/arrival/mass.ts';
import { omittedGain, type Paces, pacesOf } from '../../../src/forecast/arrival/paces.ts';
import { dot, meanWeight, principalDirections } from '../../../src/forecast/arrival/principal.ts';
import {
  allotPoints,
  evenly,
  evenPoints,
  NORMAL,
} from '../../../src/forecast/arrival/quadrature.ts';
import { ranksOf, shareSlower } from '../../../src/forecast/arrival/ranks.ts';
import {
  residualArrival,
  residualByPace,
  residualMass,
} from '../../../src/forecast/arrival/residual.ts';
import { type Compiled, compile } from '../../../src/forecast/compile.ts';
import { drawAscent, newAscent } from '../../../src/forecast/draw.ts';
import type { ForecastInput } from '../../../src/forecast/model.ts';
import { normalCdf } from '../../../src/forecast/normal.ts';
import { legTables } from '../../../src/forecast/tables.ts';
import { at, bigWall, MIN_MS, trip } from '../fixture.ts';

describe('points on a line', () => {
  const levels = Array.from({ length: 30 }, (_, level) => level);

  it('have a standard normal’s mean, variance and sum', () => {
    for (const level of levels.slice(1)) {
      const points = NORMAL.points(level);
      const moment = (n: number): number =>
        points.reduce((sum, { z, chance }) => sum + chance * z ** n, 0);
      expect(moment(0)).toBeCloseTo(1, 9);
      expect(moment(1)).toBeCloseTo(0, 9);
      expect(moment(2)).toBeCloseTo(1, 2);
    }
    expect(NORMAL.points(0)).toEqual([{ z: 0, chance: 1 }]);
    expect(evenPoints(-1, 1, 0.5)).toEqual([-1, -0.5, 0, 0.5, 1]);
    expect(
      evenly(2)
        .points(1)
        .map(({ z }) => z),
    ).toEqual([-2, -1, 0, 1, 2]);
  });

  it('hold any chance that hangs on the direction, to a third of a percent, as far as they say', () => {
    // E[Φ(w·Z + a)] = Φ(a/√(1 + w²)) for a standard normal Z (Owen 1980, Commun. Stat. B 9, 389–419, no. 10,010.8).
    for (const level of levels) {
      const weight = NORMAL.holdsTo(level);
      for (let a = -4; a <= 4; a += 0.1) {
        const found = NORMAL.points(level).reduce(
          (sum, { z, chance }) => sum + chance * normalCdf(weight * z + a),
          0,
        );
        const exact = normalCdf(a / Math.hypot(1, weight));
        expect(Math.abs(found - exact), `weight ${weight}, ${a}`).toBeLessThan(0.0034);
      }
    }
    for (const level of levels.slice(1)) {
      expect(NORMAL.holdsTo(level)).toBeGreaterThan(NORMAL.holdsTo(level - 1));
    }
  });

  it('go where they are needed most, and are no more than may be', () => {
    const lines = [4, 0.5, 0.05].map((weight) => ({ ladder: NORMAL, weight }));
    const counts = (most: number, enough: number): number[] =>
      allotPoints(lines, most, enough).map((points) => points.length);
    const [long = 0, short, none] = counts(1000, 1);
    expect(long).toBeGreaterThan(16);
    expect([short, none]).toEqual([3, 1]);
    const few = counts(30, 0.5);
    expect(few.reduce((a, b) => a * b, 1)).toBeLessThanOrEqual(30);
    expect(few[0]).toBeGreaterThan(few[1] as number);
    expect(allotPoints([], 10, 1)).toEqual([]);
  });
});

describe('principal directions', () => {
  it('are those of a matrix known by hand, at right angles, and all there are', () => {
    // Rows (3, 4) and (4, −3)/5: directions (0.6, 0.8) and (0.8, −0.6).
    const rows = [Float64Array.of(3, 4, 0), Float64Array.of(0.8, -0.6, 0)];
    const [first, second, third] = principalDirections(rows, 3);
    expect(Math.abs(dot(first?.along ?? [], [0.6, 0.8, 0]))).toBeCloseTo(1, 9);
    expect(Math.abs(dot(second?.along ?? [], [0.8, -0.6, 0]))).toBeCloseTo(1, 6);
    expect(Math.abs(third?.along[2] as number)).toBeCloseTo(1, 6);
    expect(first?.weight).toBeCloseTo((5 ** 4 / 2) ** 0.25, 9);
    expect(third?.weight).toBeLessThan(1e-3);
    expect(meanWeight([], [1])).toBe(0);
    const taken = Float64Array.of(0.6, 0.8, 0);
    const rest = principalDirections(rows, 3, taken);
    expect(rest).toHaveLength(2);
    for (const { along } of rest) expect(dot(along, taken)).toBeCloseTo(0, 6);
  });
});

describe('ranks', () => {
  const ranks = ranksOf([0.3, -0.3, 0], [0.25, 0.25, 0.5], 0.02);

  it('put the paces in order, each with its share of all', () => {
    expect([...ranks.from]).toEqual([0.75, 0, 0.25]);
    expect([...ranks.to]).toEqual([1, 0.25, 0.75]);
    expect(ranks.sd).toBeCloseTo(Math.sqrt(0.045 + 0.02), 9);
  });

  it('have the right share of all turn at any pace', () => {
    for (const pace of [-1, -0.4, -0.1, 0, 0.05, 0.2, 0.7]) {
      const slower = [0.25, 0.25, 0.5].reduce(
        (sum, chance, i) => sum + chance * shareSlower(ranks, i, pace),
        0,
      );
      expect(slower).toBeCloseTo(1 - normalCdf(pace / ranks.sd), 9);
    }
  });
});

const under = bigWall({
  nowMs: at(0, 10),
  departed: true,
  pitches: trip().pitches.map((p) =>
    p.number === 1 ? { ...p, actual: { startedAtMs: at(0, 7), doneAtMs: at(0, 9) } } : p,
  ),
});
const cases: [string, ForecastInput][] = [
  ['before the start', bigWall()],
  [
    'with the first pitch under way',
    bigWall({
      nowMs: at(0, 8),
      departed: true,
      pitches: trip().pitches.map((p) =>
        p.number === 1 ? { ...p, actual: { startedAtMs: at(0, 7) } } : p,
      ),
    }),
  ],
  ['with the second under way for an hour', under],
  ['far over time', { ...under, nowMs: at(0, 15) }],
];

/** Mean and covariance of the effects over the paces, each with the chance its shift has. */
function momentsOf(c: Compiled, paces: Paces) {
  const n = c.layout.effects;
  const grid = { stepMin: 1, first: 0, count: 4000 };
  const u = c.underWay;
  const byShift = u ? residualByPace(grid, 10, u, paces).map(totalMass) : [1];
  const mean = new Float64Array(n);
  const second = Array.from({ length: n }, () => new Float64Array(n));
  for (const { effects, chance, shift } of paces.all) {
    const p = chance * (byShift[shift] as number);
    for (let i = 0; i < n; i++) {
      mean[i] = (mean[i] as number) + p * (effects[i] as number);
      for (let j = 0; j < n; j++) {
        const row = second[i] as Float64Array;
        row[j] = (row[j] as number) + p * (effects[i] as number) * (effects[j] as number);
      }
    }
  }
  for (const moves of paces.omitted) {
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        const row = second[i] as Float64Array;
        row[j] = (row[j] as number) + (moves[i] as number) * (moves[j] as number);
      }
    }
  }
  return {
    mean,
    cov: second.map((row, i) => row.map((x, j) => x - (mean[i] as number) * (mean[j] as number))),
  };
}

/** The same of drawn ascents. */
function drawnMoments(c: Compiled, count: number) {
  const tables = legTables(c);
  const a = newAscent(c);
  const n = c.layout.effects;
  const all = Array.from({ length: count }, (_, i) => {
    drawAscent(c, tables, a, i);
    return Float64Array.from(a.effects);
  });
  const mean = Float64Array.from(
    { length: n },
    (_, e) => all.reduce((s, x) => s + (x[e] as number), 0) / count,
  );
  const cov = Array.from({ length: n }, (_, i) =>
    Float64Array.from(
      { length: n },
      (_, j) =>
        all.reduce(
          (s, x) =>
            s + ((x[i] as number) - (mean[i] as number)) * ((x[j] as number) - (mean[j] as number)),
          0,
        ) / count,
    ),
  );
  return { mean, cov };
}

describe('paces', () => {
  it.each(cases)('stand for the effects as they are drawn: %s', (_, input) => {
    const c = compile(input, false);
    const found = momentsOf(c, pacesOf(c));
    const drawn = drawnMoments(c, 30_000);
    drawn.mean.forEach((mean, i) => {
      expect(Math.abs((found.mean[i] as number) - mean)).toBeLessThan(0.012);
      drawn.cov[i]?.forEach((value, j) => {
        expect(Math.abs((found.cov[i]?.[j] as number) - value)).toBeLessThan(0.004);
      });
    });
  });

  it('are few enough to be carried in an answer, whatever the settings', () => {
    for (const prior of [0.02, 0.3, 1]) {
      for (const sigma of [0.02, 0.3, 1]) {
        const settings = {
          priorParty: prior,
          priorAid: prior,
          priorLeader: prior,
          sigmaLeadFree: sigma,
          sigmaFollow: sigma,
        };
        const paces = pacesOf(compile(bigWall({ settings })));
        expect(paces.all.length).toBeLessThanOrEqual(150);
        expect(paces.all.reduce((sum, { chance }) => sum + chance, 0)).toBeCloseTo(1, 6);
      }
    }
  });

  it('leave to the mean what has no points of its own', () => {
    const paces = { omitted: [Float64Array.of(0.1, 0.2)] } as unknown as Paces;
    // E[e^X] = e^(σ²/2) for a normal X about nought.
    expect(omittedGain(paces, [1, 1])).toBeCloseTo(0.3 ** 2 / 2, 12);
  });
});

describe('the part under way', () => {
  const grid = { stepMin: 4, first: 0, count: 800 };
  const c = compile({ ...under, nowMs: at(0, 11, 30) });
  const u = c.underWay as NonNullable<typeof c.underWay>;

  it('is done when the exact rest is, by bins, and all paces’ shares together', () => {
    const exact = residualArrival(c.clock, 0, u);
    const whole = residualMass(grid, 10.3, u);
    const shares = residualByPace(grid, 10.3, u, pacesOf(c));
    expect(totalMass(whole)).toBeCloseTo(1, 9);
    let [byWhole, byShares] = [0, 0];
    for (let i = whole.low; i < whole.high; i++) {
      byWhole += whole.mass[i] as number;
      byShares += shares.reduce((sum, s) => sum + (s.mass[i] as number), 0);
      expect(byShares).toBeCloseTo(byWhole, 9);
      const min = (i + 0.5 - 10.3) * grid.stepMin;
      if (i > whole.low + 2) expect(Math.abs(byWhole - exact.chanceBy(min))).toBeLessThan(0.002);
    }
  });

  it('has quantiles that are the chances’ own', () => {
    const exact = residualArrival(c.clock, 0, u);
    for (const p of [0.01, 0.1, 0.5, 0.9, 0.99]) {
      expect(exact.chanceBy(exact.quantile(p))).toBeCloseTo(p, 6);
    }
    expect(exact.chanceBy(-MIN_MS)).toBe(0);
  });
});
