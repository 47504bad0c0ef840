import { describe, expect, it } from 'vitest';
import { compile } from '../../src/forecast/compile.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { normalQuantile } from '../../src/forecast/normal.ts';
import type { Outcomes } from '../../src/forecast/outcomes.ts';
import { quantilesOf } from '../../src/forecast/quantiles.ts';
import { newSimulation, runSlice } from '../../src/forecast/simulate.ts';
import { leave } from '../../src/forecast/way-out.ts';
import { at, bigWall, trip } from './fixture.ts';

const ASCENTS = 8192;

function drawn(input: ForecastInput): Outcomes {
  const sim = newSimulation(compile({ ...input, ascents: ASCENTS }), []);
  while (!runSlice(sim, 1000));
  return sim.outcomes;
}

/** How parties leave that come to the trailhead at those moments, each sent away by the rule itself with every luck on the walk. */
function sent(input: ForecastInput, { trailhead }: Outcomes) {
  const { wayOut } = compile(input);
  const { walk } = wayOut;
  const caught = new Float64Array(wayOut.departureMin.length);
  const away: number[] = [];
  let walked = 0;
  const walks = 20;
  for (const there of trailhead) {
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

/** Three and a half standard errors of a share of so many ascents. */
const NOISE = 3.5 * Math.sqrt(0.25 / ASCENTS);

describe('who boards what', () => {
  it.each(cases)('%s', (_, input) => {
    const all = drawn(input);
    const rule = sent(input, all);
    all.caught.forEach((ascents, d) => {
      const chance = ascents / ASCENTS;
      expect(Math.abs(chance - (rule.caught[d] as number)), `departure ${d}`).toBeLessThan(NOISE);
    });
    expect(Math.abs(all.onFoot / ASCENTS - rule.onFoot)).toBeLessThan(NOISE);
    const shares = [0.1, 0.3, 0.5, 0.7, 0.9];
    quantilesOf(all.away, shares).forEach((found, i) => {
      const p = shares[i] as number;
      const share = (by: number): number =>
        rule.away.filter((min) => min <= by).length / rule.away.length;
      if (found === Number.POSITIVE_INFINITY) expect(share(1e12)).toBeLessThan(p + NOISE);
      else {
        expect(share(found + 1e-6)).toBeGreaterThan(p - NOISE);
        expect(share(found - 1e-6)).toBeLessThan(p + NOISE);
      }
    });
  });
});
