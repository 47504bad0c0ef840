/** What must be true of the watch whatever happens, over random histories of posts, presses and silences. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { runs } from '../helpers/long.ts';
import { histories } from './model/moves.ts';
import { playHistory } from './model/play.ts';

it('there is always a next look, silence leads to distress, and only a word or being down ends an alarm', () => {
  const met = new Map<string, number>();
  fc.assert(
    fc.property(histories, (history) => {
      playHistory(history, met);
    }),
    // `npm run simulate` plays ten thousand.
    { numRuns: runs(120, 10_000) },
  );
  // Histories in which nothing happens would prove nothing.
  for (const what of ['an alarm ends', 'distress by silence', 'a missed night']) {
    expect([what, (met.get(what) ?? 0) > 50]).toEqual([what, true]);
  }
  for (const what of [
    'a button is taken',
    'a button is over',
    'alert about nightly',
    'distress about silence',
    'distress about callout',
  ]) {
    expect([what, (met.get(what) ?? 0) > 10]).toEqual([what, true]);
  }
});
