import { describe, expect, it } from 'vitest';
import { LONG } from '../helpers/long.ts';
import { SCORED } from './climbs/index.ts';
import { play } from './play.ts';
import { score } from './score.ts';

/**
 * How true the forecast is of published climbs may get better, not worse: bounds a little wider than what was measured.
 * The figures themselves, with each party left out of what is fitted, are printed by `npm run truth`.
 */
const BOUNDS = LONG
  ? { held80: 0.72, cautious: 0.84, loss: 0.12 }
  : { held80: 0.6, cautious: 0.8, loss: 0.15 };

describe('published climbs, played through the commands', () => {
  it('are forecast before the start as well as ever, and better than by either plain rule', async () => {
    // Every fourth in the short form: efficient and average, free and aid.
    const climbs = SCORED.filter((_, i) => LONG || i % 4 === 0);
    const moments = [];
    for (const climb of climbs) {
      moments.push(...(await play(climb, { classed: true, beforeOnly: true })));
    }
    const s = score(moments);
    expect(s.held80).toBeGreaterThanOrEqual(BOUNDS.held80);
    expect(s.cautious).toBeGreaterThanOrEqual(BOUNDS.cautious);
    expect(s.forecast).toBeLessThan(BOUNDS.loss);
    expect(s.forecast).toBeLessThan(s.fortyFive);
    expect(s.forecast).toBeLessThan(s.averageSoFar);
  });

  it('go on through posts: what is believed stays a time to come', async () => {
    const half = SCORED.find((c) => c.id === 'half-dome-2007');
    const moments = await play(half as (typeof SCORED)[number], { classed: true });
    expect(moments.map((m) => m.done)).toEqual([0, 1, 3, 4, 5, 6, 9]);
    for (const m of moments) expect(m.believed[0]).toBeGreaterThan(0);
    const widths = moments.map((m) => (m.believed.at(-1) as number) - (m.believed[0] as number));
    expect(widths.at(-1)).toBeLessThan(widths[0] as number);
  });
});
