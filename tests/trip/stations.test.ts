import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fold } from '../../src/trip/fold.ts';
import type { TripState } from '../../src/trip/state.ts';
import { lastWayBack, rappelWay } from '../../src/trip/stations.ts';

interface Pitch {
  lengthM: number;
  rappel?: TripState['pitches'][number]['rappel'];
}

/** A trip with a topo and ropes, and nothing else. */
function wall(pitches: readonly Pitch[], ropes: Partial<TripState['settings']>): TripState {
  const state = fold('t', []);
  return {
    ...state,
    settings: { ...state.settings, ...ropes },
    pitches: pitches.map((p, i) => ({ number: i + 1, stance: 'hanging', bivy: 'none', ...p })),
  };
}

const yes = (...lengths: number[]) => lengths.map((lengthM) => ({ lengthM, rappel: true }));
const path = (state: TripState, from: number) => rappelWay(state, from).legs.map((l) => l.to);

describe('the way down by rappel', () => {
  // Worked out by hand with 60 m ropes: 35 + 25 = 60 m is one rappel, 30 + 40 = 70 m is two.
  it('takes the fewest rappels that the ropes reach', () => {
    const state = wall(yes(30, 40, 25, 35), { leadLineM: 60, haulLineM: 60 });
    expect(path(state, 4)).toEqual([2, 1, 0]);
  });

  it('with one rope reaches half as far', () => {
    const state = wall(yes(30, 28, 25), { leadLineM: 60, haulLineM: 0, tagLineM: 0 });
    expect(path(state, 3)).toEqual([2, 1, 0]);
    expect(rappelWay(state, 3).reach).toMatchObject({ reachM: 30, how: 'single' });
  });

  it('goes past what is no station, and round what is not known', () => {
    const state = wall(
      [
        { lengthM: 20, rappel: true },
        { lengthM: 20 },
        { lengthM: 20, rappel: false },
        { lengthM: 20, rappel: true },
      ],
      { leadLineM: 60, haulLineM: 60 },
    );
    expect(path(state, 4)).toEqual([1, 0]);
    const shorter = { ...state, settings: { ...state.settings, leadLineM: 45 } };
    const way = rappelWay(shorter, 4);
    expect(way.legs.map((l) => [l.to, l.known])).toEqual([
      [2, false],
      [0, true],
    ]);
  });

  it('crosses no traverse and no roof, however long the ropes are, and says which pitch it is', () => {
    const state = wall(
      [
        { lengthM: 20, rappel: true },
        { lengthM: 15, rappel: 'traverse' },
        { lengthM: 20, rappel: true },
        { lengthM: 20, rappel: true },
      ],
      { leadLineM: 70, haulLineM: 70 },
    );
    // 20 + 15 + 20 = 55 m is within the ropes, but goes over the traverse.
    expect(rappelWay(state, 4).blocked).toMatchObject({ at: 3, why: 'traverse', pitch: 2 });
    expect(rappelWay(state, 2).blocked).toMatchObject({ at: 2, why: 'traverse', pitch: 2 });
    expect(lastWayBack(state)).toBe(1);
  });

  it('says which rappels end near the rope’s end, and avoids them where as few others lead down', () => {
    const state = wall(yes(20, 20, 19, 20), { leadLineM: 60, haulLineM: 60 });
    // By stance 3 or 1 one rappel is 59 m, which leaves a metre; by 2 they are 39 and 40 m.
    expect(path(state, 4)).toEqual([2, 0]);
    expect(rappelWay(state, 4).legs.some((l) => l.tight)).toBe(false);
    const near = wall(yes(59), { leadLineM: 60, haulLineM: 60 });
    expect(rappelWay(near, 1).legs).toMatchObject([{ tight: true }]);
  });

  it('says where it ends and why', () => {
    const far = wall(
      [
        { lengthM: 50, rappel: true },
        { lengthM: 30, rappel: false },
        { lengthM: 45, rappel: true },
      ],
      { leadLineM: 60, haulLineM: 60 },
    );
    expect(rappelWay(far, 3).blocked).toEqual({ at: 3, why: 'too far', nextM: 75 });
    expect(rappelWay(far, 2).blocked).toMatchObject({ at: 2, why: 'no station' });
    expect(rappelWay(far, 1).blocked).toBeUndefined();
    expect(lastWayBack(far)).toBe(1);
  });

  const pitch = fc.record({
    lengthM: fc.integer({ min: 5, max: 60 }),
    rappel: fc.constantFrom(true, true, true, false, 'traverse' as const),
  });

  it('no rope that is longer, or carried besides, takes a way away', () => {
    const line = fc.oneof(fc.constant(0), fc.integer({ min: 20, max: 200 }));
    fc.assert(
      fc.property(
        fc.array(pitch, { minLength: 1, maxLength: 20 }),
        fc.tuple(fc.integer({ min: 20, max: 120 }), line, line),
        fc.integer({ min: 0, max: 2 }),
        fc.integer({ min: 20, max: 200 }),
        (pitches, [leadLineM, haulLineM, tagLineM], which, otherM) => {
          const ropes = { leadLineM, haulLineM, tagLineM };
          const key = (['leadLineM', 'haulLineM', 'tagLineM'] as const)[which] ?? 'leadLineM';
          const more = { ...ropes, [key]: Math.max(ropes[key], otherM) };
          const [less, longer] = [ropes, more].map((r) =>
            rappelWay(wall(pitches, r), pitches.length),
          );
          expect(longer?.reach.reachM).toBeGreaterThanOrEqual(less?.reach.reachM ?? 0);
          if (less?.blocked === undefined) expect(longer?.blocked).toBeUndefined();
        },
      ),
    );
  });

  // By hand: 30 m of a doubled lead line, not the 20 m of a short tag line; the two longest of three; half of 200 m.
  it.each([
    [{ leadLineM: 60, haulLineM: 0, tagLineM: 20 }, 30, 'single'],
    [{ leadLineM: 40, haulLineM: 60, tagLineM: 60 }, 60, 'joined'],
    [{ leadLineM: 60, haulLineM: 200, tagLineM: 0 }, 100, 'single'],
    [{ leadLineM: 60, haulLineM: 60, tagLineM: 0 }, 60, 'joined'],
    [{ leadLineM: 60, haulLineM: 0, tagLineM: 0 }, 30, 'single'],
  ])('%o reach %d m', (ropes, reachM, how) => {
    expect(rappelWay(wall(yes(10), ropes), 1).reach).toEqual({ reachM, how });
  });

  it('a longer rope never takes a way away, and never makes it longer', () => {
    fc.assert(
      fc.property(
        fc.array(pitch, { minLength: 1, maxLength: 20 }),
        fc.integer({ min: 20, max: 90 }),
        fc.integer({ min: 0, max: 30 }),
        (pitches, ropeM, moreM) => {
          const way = (m: number) =>
            rappelWay(wall(pitches, { leadLineM: m, haulLineM: m }), pitches.length);
          const [short, long] = [way(ropeM), way(ropeM + moreM)];
          if (short.blocked !== undefined) return;
          expect(long.blocked).toBeUndefined();
          expect(long.legs.length).toBeLessThanOrEqual(short.legs.length);
          expect(long.legs.reduce((sum, l) => sum + l.lengthM, 0)).toBe(
            pitches.reduce((sum, p) => sum + p.lengthM, 0),
          );
        },
      ),
    );
  });
});
