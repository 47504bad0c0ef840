/** Posts of every kind there is, in any order, as the examples of their shapes have them. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { folded, foldOn } from '../../src/trip/fold.ts';
import { readFacts } from '../../src/trip/read.ts';
import { at, events, setUp } from './build.ts';
import { PLAN_SHAPES } from './kinds/shapes-plan.ts';
import { WATCH_SHAPES } from './kinds/shapes-watch.ts';

const POSTS = Object.entries({ ...PLAN_SHAPES, ...WATCH_SHAPES }).flatMap(([kind, tables]) =>
  kind.startsWith('log.') || kind === 'trip.opened'
    ? []
    : tables.flatMap(([good]) => good.map((data) => ({ kind, data }))),
);

const anyPost = fc.record({
  of: fc.constantFrom(...POSTS),
  quarter: fc.integer({ min: 0, max: 24 }),
});

test('whatever kind is folded on, nothing that was folded before changes', () => {
  fc.assert(
    fc.property(fc.array(anyPost, { minLength: 2, maxLength: 25, size: 'max' }), (posts) => {
      const raws = events([
        ...setUp({ climbers: ['mara', 'jonas'] }),
        ...posts.map(({ of, quarter }) => ({ ...of, atMs: at(6, quarter * 15) })),
      ]);
      const read = readFacts(raws);
      if (!read.ok) throw new Error(read.why);
      const facts = read.value;
      const told = structuredClone(facts);
      const from = facts.length - posts.length;
      let record = folded('t', facts.slice(0, from));
      for (const fact of facts.slice(from)) {
        const before = structuredClone(record);
        const after = foldOn(record, [fact]);
        expect(record).toEqual(before);
        record = after;
      }
      expect(facts).toEqual(told);
      expect(record.state).toEqual(folded('t', facts).state);
    }),
    { numRuns: 50 },
  );
});
