import { describe, expect, it } from 'vitest';
import { type Arrivals, startArrivals } from '../../../src/forecast/arrival/arrivals.ts';
import { compile } from '../../../src/forecast/compile.ts';
import type { ForecastInput } from '../../../src/forecast/model.ts';
import { normalQuantile } from '../../../src/forecast/normal.ts';
import { leave } from '../../../src/forecast/way-out.ts';
import { at, bigWall, trip } from '../fixture.ts';

function arrivals(input: ForecastInput): Arrivals {
  const run = startArrivals(compile(input));
  while (!run.step());
  return run.result();
}

/** How parties leave that come to the trailhead at evenly likely moments, each sent away by the rule itself. */
function sent(input: ForecastInput, { trailhead }: Arrivals) {
  const { wayOut } = compile(input);
  const { walk } = wayOut;
  const caught = new Float64Array(wayOut.departureMin.length);
  const away: number[] = [];
  let walked = 0;
  const heads = 1500;
  const walks = 20;
  for (let i = 0; i < heads; i++) {
    const there = trailhead.quantile((i + 0.5) / heads);
    for (let j = 0; j < walks; j++) {
      const z = normalQuantile((j + 0.5) / walks);
      const walkMin = walk ? Math.exp(walk.mu + walk.sigma * z) : 0;
      const { atMin, departure } = leave(wayOut, there, walkMin);
      if (departure >= 0) caught[departure] = (caught[departure] as number) + 1;
      else if (atMin < Number.POSITIVE_INFINITY) walked++;
      away.push(atMin);
    }
  }
  away.sort((a, b) => a - b);
  return { caught: caught.map((n) => n / away.length), away, onFoot: walked / away.length };
}

const boats = bigWall();
const topped = trip({
  pitches: trip().pitches.map((p) => ({ ...p, actual: { doneAtMs: at(0, 7 + p.number) } })),
  departed: true,
  nowMs: at(0, 17, 30),
  departures: [at(0, 18, 40), at(1, 6, 20), at(1, 18, 40)].map((atMs, i) => ({
    atMs,
    last: i !== 1,
  })),
});
const cases: [string, ForecastInput][] = [
  ['with a walk out', boats],
  [
    'with a short walk, sooner than the next boat',
    { ...boats, walkOut: { km: 2, upM: 0, downM: 50 } },
  ],
  ['waiting for the next day', (({ walkOut: _, ...rest }) => rest)(boats)],
  ['on the way down near the last boat, waiting', topped],
  [
    'on the way down near the last boat, walking',
    { ...topped, walkOut: { km: 6, upM: 0, downM: 0 } },
  ],
  [
    'with boats on the first two days only',
    { ...boats, departures: boats.departures?.slice(0, 76) ?? [] },
  ],
];

describe('who boards what', () => {
  it.each(cases)('%s', (_, input) => {
    const all = arrivals(input);
    const { caught, onFoot, away } = all.boarding;
    const rule = sent(input, all);
    caught.forEach((chance, d) => {
      expect(Math.abs(chance - (rule.caught[d] as number)), `departure ${d}`).toBeLessThan(0.003);
    });
    expect(onFoot).toBeCloseTo(rule.onFoot, 2);
    for (const p of [0.1, 0.3, 0.5, 0.7, 0.9]) {
      const found = away.quantile(p);
      // As a chance: between two departures a moment says little.
      const share = (by: number): number =>
        rule.away.filter((min) => min <= by).length / rule.away.length;
      if (found === Number.POSITIVE_INFINITY) expect(share(1e12)).toBeLessThan(p + 0.005);
      else {
        expect(share(found + 3)).toBeGreaterThan(p - 0.005);
        expect(share(found - 3)).toBeLessThan(p + 0.005);
        expect(away.chanceBy(found)).toBeGreaterThan(p - 1e-6);
      }
    }
  });
});
