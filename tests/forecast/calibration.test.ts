import { describe, expect, it } from 'vitest';
import { runs } from '../helpers/long.ts';
import { days, route, trip } from './fixture.ts';
import { calibrate, climbs, type Posting } from './reference/climb.ts';

const CLIMBS = runs(60, 5000);
/** Three and a half standard errors of a share of 0.8 among that many climbs, but no less than 2 %: that is as good as it need be. */
const TOLERANCE = Math.max(0.02, 3.5 * Math.sqrt((0.8 * 0.2) / CLIMBS));

describe('calibration on climbs whose pace nobody was told', () => {
  const input = trip({ pitches: route(12), days: days(20), ascents: 300 });
  const all = climbs(input, CLIMBS, 4711);

  it.each<[Posting, number[]]>([
    ['done', [0, 2, 5, 9]],
    ['all', [3, 8]],
  ])('four in five lie within the interval of four in five, with posts of %s', (posting, after) => {
    const table = after.map((done) => calibrate(all, done, posting));
    for (const row of table) {
      expect(Math.abs(row.held - 0.8), `after ${row.done}: ${row.held}`).toBeLessThan(TOLERANCE);
    }
    const errors = table.map((row) => row.medianErrorMin);
    expect(errors, 'the projected top-out gets better with every few pitches').toEqual(
      [...errors].sort((a, b) => b - a),
    );
  });

  // A model is never the whole truth: noise twice as wide, or a party that slows down by a third in the middle.
  it.each([
    ['noise is doubled', { noise: 2 }],
    ['pace jumps half way', { jump: 1.33 }],
  ])('seven in ten still do when %s', (_, misfit) => {
    const others = climbs(input, CLIMBS, 815, misfit);
    for (const done of [0, 4]) {
      const { held } = calibrate(others, done, 'done');
      const error = Math.sqrt((0.7 * 0.3) / CLIMBS);
      expect(held, `after ${done}: ${held}`).toBeGreaterThan(0.7 - 2 * error);
    }
  });
});
