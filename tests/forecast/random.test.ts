import { describe, expect, it } from 'vitest';
import { normalCdf } from '../../src/forecast/normal.ts';
import { expFast, fillNormals, nextUniform, randomState } from '../../src/forecast/random.ts';

const COUNT = 400_000;

function normals(seed: number, count = COUNT): Float64Array {
  const out = new Float64Array(count);
  const row = new Float64Array(200);
  for (let i = 0; i < count; i += row.length) {
    fillNormals(row, row.length, seed, i / row.length);
    out.set(row, i);
  }
  return out;
}

describe('random numbers of the ascents', () => {
  const z = normals(12);

  it('are standard normal: Kolmogorov–Smirnov at the 0.1 % level', () => {
    const sorted = Float64Array.from(z).sort();
    let far = 0;
    sorted.forEach((x, i) => {
      const p = normalCdf(x);
      far = Math.max(far, Math.abs(p - i / COUNT), Math.abs(p - (i + 1) / COUNT));
    });
    // Critical value 1.95/√n (Massey 1951, J. Am. Stat. Assoc. 46).
    expect(far).toBeLessThan(1.95 / Math.sqrt(COUNT));
  });

  it('have the moments and the tail of the normal', () => {
    const mean = (f: (x: number) => number): number => z.reduce((s, x) => s + f(x), 0) / COUNT;
    const root = Math.sqrt(COUNT);
    expect(Math.abs(mean((x) => x))).toBeLessThan(4 / root);
    expect(Math.abs(mean((x) => x * x) - 1)).toBeLessThan((4 * Math.sqrt(2)) / root);
    expect(Math.abs(mean((x) => x ** 4) - 3)).toBeLessThan((4 * Math.sqrt(96)) / root);
    const tail = mean((x) => (x > 3.5 ? 1 : 0));
    expect(Math.abs(tail - 2.326e-4)).toBeLessThan(4 * Math.sqrt(2.326e-4 / COUNT));
  });

  // Expected largest of n standard normals, johndcook.com/blog/2022/03/09/normal-order-statistics.
  it.each([
    [2, 0.56419],
    [3, 0.84628],
    [4, 1.02938],
    [5, 1.16296],
    [10, 1.53875],
  ])('give the published mean of the largest of %d', (n, expected) => {
    let sum = 0;
    const groups = COUNT / n;
    for (let g = 0; g < groups; g++) sum += Math.max(...z.subarray(g * n, (g + 1) * n));
    expect(Math.abs(sum / groups - expected)).toBeLessThan(4 / Math.sqrt(groups));
  });

  it('are the same for the same ascent and unrelated between ascents', () => {
    const draw = (seed: number, stream: number): Float64Array => {
      const row = new Float64Array(150);
      fillNormals(row, row.length, seed, stream);
      return row;
    };
    expect(draw(5, 9)).toEqual(draw(5, 9));
    let cross = 0;
    let pairs = 0;
    for (let i = 0; i < 400; i++) {
      const [a, b] = [draw(5, i), draw(5, i + 1)];
      a.forEach((x, j) => {
        cross += x * (b[j] as number);
        pairs++;
      });
    }
    expect(Math.abs(cross / pairs)).toBeLessThan(4 / Math.sqrt(pairs));
  });

  it('draw a shorter row as the beginning of a longer one', () => {
    const long = new Float64Array(90);
    const short = new Float64Array(40);
    fillNormals(long, 90, 3, 4);
    fillNormals(short, 40, 3, 4);
    expect(long.subarray(0, 40)).toEqual(short);
  });

  it('have uniforms strictly inside the unit interval', () => {
    const state = randomState(0, 0);
    let sum = 0;
    for (let i = 0; i < 100_000; i++) {
      const u = nextUniform(state);
      expect(u > 0 && u < 1).toBe(true);
      sum += u;
    }
    expect(Math.abs(sum / 100_000 - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / 100_000));
  });

  it('has an exponential good to a part in 10^12, clamped beyond ±23', () => {
    for (let x = -22.9; x < 22.9; x += 0.0137) {
      expect(Math.abs(expFast(x) / Math.exp(x) - 1)).toBeLessThan(1e-12);
    }
    expect(expFast(500)).toBe(expFast(23));
    expect(expFast(-500)).toBe(expFast(-23));
  });
});
