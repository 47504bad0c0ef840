import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { RuleCode } from '../../src/say/refusal-codes.ts';
import { runs } from '../helpers/long.ts';
import { NOW_MS } from './build.ts';
import { violations } from './checker.ts';
import { manyMoves, play } from './random-posts.ts';
import { readable } from './readable.ts';

describe('no sequence of posts makes a trip that may not be', () => {
  test('ASVS V2.2.3, V2.3.1: the gate lets nothing through that a checker of its own forbids', () => {
    fc.assert(
      fc.property(manyMoves, (some) => {
        play(some, ({ history, event, no }) => {
          if (no === undefined) expect(violations([...history, event], NOW_MS)).toEqual([]);
        });
      }),
      { numRuns: runs(100, 2000) },
    );
  });

  test('and refuses nothing that the checker finds nothing wrong with', () => {
    /** These speak of a strike or an amendment itself, not of the state that would come of it. */
    const OF_THE_RECORD: readonly RuleCode[] = [
      ...(['already-struck', 'cannot-strike', 'cannot-amend', 'nothing-to-change'] as const),
      ...(['no-such-entry', 'not-readable'] as const),
    ];
    fc.assert(
      fc.property(manyMoves, (some) => {
        play(some, ({ history, event, no }) => {
          if (no === undefined || OF_THE_RECORD.includes(no.rule)) return;
          expect([no.rule, violations([...history, event], NOW_MS)]).not.toEqual([no.rule, []]);
        });
      }),
      { numRuns: runs(100, 2000) },
    );
  });

  test('such sequences meet the rules that a day on the wall meets', () => {
    const met = new Map<string, number>();
    fc.assert(
      fc.property(manyMoves, (some) => {
        play(some, ({ event, no }) => {
          const what = no?.rule ?? event.kind;
          met.set(what, (met.get(what) ?? 0) + 1);
        });
      }),
      { seed: 1, numRuns: 200 },
    );
    const often: (RuleCode | string)[] = [
      ...['pitch.started', 'pitch.fixed', 'pitch.done', 'pitch.break', 'log.struck', 'log.amended'],
      ...['time-before-previous-pitch', 'time-inside-pitch', 'previous-not-done', 'told-twice'],
      ...['previous-not-reached', 'after-down', 'depart-after-pitch', 'link-too-long', 'night'],
    ];
    for (const what of often) expect([what, (met.get(what) ?? 0) >= 10]).toEqual([what, true]);
  });

  test('every no names its rule, says why in a sentence, and shows a way out', () => {
    fc.assert(
      fc.property(manyMoves, (some) => {
        play(some, ({ no }) => {
          if (no !== undefined) readable(no);
        });
      }),
    );
  });
});
