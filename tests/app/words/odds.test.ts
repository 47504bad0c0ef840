import { describe, expect, it, test } from 'vitest';
import { boundName } from '../../../src/app/words/forecast.ts';
import { oddsWords, riskWords } from '../../../src/app/words/odds.ts';
import { fold } from '../../../src/trip/fold.ts';
import type { Mark, PitchState, TripState } from '../../../src/trip/state.ts';
import { at, events, setUp } from '../../trip/build.ts';

/** A route with so many pitches left. */
function left(count: number): Pick<TripState, 'pitches'> {
  const pitches = Array.from({ length: 8 }, (_, i) =>
    i < 8 - count ? ({ done: {} as Mark } as PitchState) : ({} as PitchState),
  );
  return { pitches };
}

/** The share that words like `3 in 4` stand for. */
function share(words: string): number {
  const [n, of] = words.split(' in ').map(Number) as [number, number];
  return n / of;
}

describe('a good thing’s odds round down, a bad one’s up', () => {
  test.each([
    [0.476, '1 in 3', '1 in 2'],
    [0.5, '1 in 2', '1 in 2'],
    [0.74, '2 in 3', '3 in 4'],
    [0.93, '9 in 10', '19 in 20'],
    [0.02, 'less than 1 in 20', 'less than 1 in 20'],
    [0.07, '1 in 20', '1 in 10'],
    [0, 'no chance', 'no chance'],
    [0.97, '19 in 20', 'all but sure'],
  ])('%d', (chance, good, bad) => {
    expect([oddsWords(chance, left(5)), riskWords(chance)]).toEqual([good, bad]);
  });

  it('within half a percent, whatever the chance', () => {
    for (let percent = 5; percent <= 95; percent++) {
      const [good, bad] = [oddsWords(percent / 100, left(5)), riskWords(percent / 100)];
      expect(share(good)).toBeLessThanOrEqual(percent / 100 + 0.005);
      expect(share(bad)).toBeGreaterThanOrEqual(percent / 100 - 0.005);
    }
  });
});

test('nothing is all but sure before the last two pitches', () => {
  expect([3, 2, 1, 0].map((n) => oddsWords(0.999, left(n)))).toEqual([
    '19 in 20',
    ...Array(3).fill('all but sure'),
  ]);
});

describe('odds name what they are the odds of', () => {
  const state = fold('t', events(setUp({})));
  test.each([
    [{ label: 'Rain comes', what: 'On top' }, 'On top before Rain comes 18:00'],
    [{ label: 'Dark', what: 'Pitch 5 done' }, 'Pitch 5 done before dark 18:00'],
    [{ label: 'Last boat' }, 'Last boat 18:00'],
  ])('%j', (bound, says) => {
    const zone = state.zone;
    expect(zone).toBe('UTC');
    expect(boundName(state, { ...bound, atMs: at(18) }, at(9))).toBe(says);
  });
});
