import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { forecast } from '../../src/forecast/forecast.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import type { Forecast } from '../../src/forecast/model.ts';
import {
  afterSilence,
  knownUntil,
  reportDelayMin,
  silentSince,
} from '../../src/forecast/silence.ts';
import type { TripState } from '../../src/trip/state.ts';
import {
  at,
  done,
  HOUR,
  MINUTE,
  type Post,
  pitchOf,
  setUp,
  started,
  stateOf,
} from '../trip/build.ts';

const left: Post = { kind: 'trip.departed', data: {}, atMs: at(6) };
const pitches = Array.from({ length: 8 }, (_, i) =>
  pitchOf(i + 1, i === 4 ? { bivy: 'ledge', places: 4 } : {}),
);
const tripOf = (posts: readonly Post[]) => stateOf([...setUp({ pitches }), left, ...posts]);

/** What is said at that minute, as the app puts it together. */
function said(state: TripState, nowMs: number): Forecast {
  const by = (knownMs: number) => forecast(forecastInput(state, nowMs, { ascents: 400, knownMs }));
  const heardMs = silentSince(state, nowMs);
  if (heardMs === undefined) return by(nowMs);
  const expected = by(heardMs);
  return afterSilence(expected, by(knownUntil(state, expected, nowMs)), heardMs, nowMs);
}

describe('silence', () => {
  it('alone never narrows what is said', () => {
    const gaps = fc.array(fc.integer({ min: 30, max: 120 }), { minLength: 1, maxLength: 7 });
    const lateness = fc.integer({ min: 0, max: 90 });
    const waits = fc.uniqueArray(fc.integer({ min: 1, max: 700 }), { minLength: 2, maxLength: 4 });
    fc.assert(
      fc.property(gaps, lateness, waits, (each, late, after) => {
        let ms = at(7);
        const posts = each.map((min, i): Post => {
          ms += min * MINUTE;
          return { ...done(i + 1, ms), toldMs: ms + late * MINUTE };
        });
        const state = tripOf([started(1, at(7)), ...posts]);
        const from = ms + reportDelayMin(state) * MINUTE;
        let before: Forecast | undefined;
        for (const min of [...after].sort((a, b) => a - b)) {
          const now = said(state, from + min * MINUTE);
          for (const what of ['topout', 'trailhead'] as const) {
            // A minute of grace: it is drawn.
            expect(now[what].q10).toBeLessThanOrEqual((before?.[what].q10 ?? Infinity) + MINUTE);
            expect(now[what].q90).toBeGreaterThanOrEqual((before?.[what].q90 ?? 0) - MINUTE);
          }
          before = now;
        }
      }),
      { numRuns: 25 },
    );
  });

  it('is not standing still: three pitches climbed untold are within what is said', () => {
    const state = tripOf([started(1, at(7)), ...[1, 2, 3].map((n) => done(n, at(7 + n)))]);
    const now = said(state, at(14, 30));
    expect(now.silence).toMatchObject({ heardMs: at(10), byNow: expect.any(Number) });
    expect(now.silence?.byNow).toBeGreaterThanOrEqual(6);
    // Four more hours' climbing at an hour a pitch: on top at three.
    expect(now.topout.q10).toBeLessThan(at(15));
    expect(now.topout.q90).toBeGreaterThan(at(15));
    // As it was said when the posts had come.
    const told = tripOf([
      started(1, at(7)),
      ...[1, 2, 3, 4, 5, 6, 7].map((n) => done(n, at(7 + n))),
    ]);
    const then = forecast(forecastInput(told, at(14, 30), { ascents: 400 })).topout.q50;
    expect(then).toBeGreaterThan(now.topout.q10);
    expect(then).toBeLessThan(now.topout.q90);
  });

  it('begins when a report is later than reports are in this trip', () => {
    const quick = tripOf([started(1, at(7)), done(1, at(8))]);
    expect(silentSince(quick, at(8, 10))).toBeUndefined();
    expect(silentSince(quick, at(8, 11))).toBe(at(8));
    // A crew that posts in batches, two hours late: an hour's silence says nothing yet.
    const batch = [1, 2, 3, 4, 5].map(
      (n): Post => ({ ...done(n, at(7 + n)), toldMs: at(7 + n) + 2 * HOUR }),
    );
    expect(reportDelayMin(tripOf(batch))).toBe(120);
    expect(silentSince(tripOf(batch), at(13))).toBeUndefined();
    expect(silentSince(tripOf(batch), at(14, 1))).toBe(at(12));
  });

  it('says nothing of a party that waits, or isn’t watched', () => {
    const waits = tripOf([
      done(1, at(8)),
      { kind: 'wait.began', data: { why: 'weather' }, atMs: at(9) },
    ]);
    expect(silentSince(waits, at(15))).toBeUndefined();
    expect(silentSince(stateOf(setUp({ pitches })), at(15))).toBeUndefined();
  });
});
