import { describe, expect, it } from 'vitest';
import { compile } from '../../src/forecast/compile.ts';
import { toLattice } from '../../src/forecast/lattice.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { quantilesOf } from '../../src/forecast/quantiles.ts';
import { fillNormals } from '../../src/forecast/random.ts';
import { drawnAscents } from './ascents.ts';
import { route, trip } from './fixture.ts';

const input = trip({ pitches: route(6) });

describe('ascents spread evenly', () => {
  const c = compile(input);
  const lattice = c.lattice as NonNullable<typeof c.lattice>;
  const { count } = c.layout;

  it('go along orthonormal directions', () => {
    // The pace, and six pitches.
    expect(lattice.directions).toHaveLength(7);
    lattice.directions.forEach((u, i) => {
      lattice.directions.forEach((v, j) => {
        const dot = u.reduce((sum, x, k) => sum + x * (v[k] as number), 0);
        expect(dot).toBeCloseTo(i === j ? 1 : 0, 9);
      });
    });
  });

  it('are each still drawn from the model: normals as before, one by one and in pairs', () => {
    const n = 40_000;
    const z = new Float64Array(count);
    const sum = new Float64Array(count);
    const cross = new Float64Array(count * count);
    for (let i = 0; i < n; i++) {
      fillNormals(z, count, 3, i);
      toLattice(lattice, z, i);
      for (let a = 0; a < count; a++) {
        sum[a] = (sum[a] as number) + (z[a] as number);
        for (let b = 0; b <= a; b++) {
          cross[a * count + b] =
            (cross[a * count + b] as number) + (z[a] as number) * (z[b] as number);
        }
      }
    }
    // Five standard errors: a thousand figures are looked at.
    for (let a = 0; a < count; a++) {
      expect(Math.abs((sum[a] as number) / n)).toBeLessThan(5 / Math.sqrt(n));
      for (let b = 0; b <= a; b++) {
        const covariance = (cross[a * count + b] as number) / n;
        const bound = (5 * (a === b ? Math.SQRT2 : 1)) / Math.sqrt(n);
        expect(Math.abs(covariance - (a === b ? 1 : 0))).toBeLessThan(bound);
      }
    }
  });

  it('leave less noise in the quantiles than chance does', () => {
    const middle = (from: ForecastInput, count: number, evenly: boolean): number =>
      quantilesOf(drawnAscents(from, count, evenly).at(-1) as Float64Array, [0.5])[0] as number;
    const exact = middle(input, 60_000, false);
    const noise = (evenly: boolean): number => {
      let squares = 0;
      for (let seed = 1; seed <= 25; seed++) {
        squares += (middle({ ...input, seed }, 500, evenly) - exact) ** 2;
      }
      return squares;
    };
    // Incidents come by chance alone, and so does on which side of a night an ascent falls.
    expect(noise(true)).toBeLessThan(noise(false) / 1.5);
  });
});
