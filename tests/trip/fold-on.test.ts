import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { admit } from '../../src/trip/admit.ts';
import type { Fact } from '../../src/trip/fact.ts';
import { type Folded, folded, foldOn } from '../../src/trip/fold.ts';
import { kindOf } from '../../src/trip/kinds/index.ts';
import { signWords } from '../../src/trip/signs.ts';
import type { Sign } from '../../src/trip/watch-state.ts';
import { amend, at, done, events, joined, NOW_MS, setUp, strike } from './build.ts';
import { type Move, move, partyPost, postOf, START } from './random-posts.ts';

/** Everything a record holds, the words of its signs too, which are made from the state. */
function whole({ state, plan, wall, history }: Folded): unknown {
  const words = state.watch.signs.map((s) => signWords(state, s));
  return { state, plan, wall, history, words };
}

const anyMove: fc.Arbitrary<Move> = fc.oneof(
  { weight: 4, arbitrary: move },
  { weight: 1, arbitrary: partyPost.map((post) => ({ post })) },
);
/** One to four posts that go in together. */
const lots = fc.array(fc.array(anyMove, { minLength: 1, maxLength: 4 }), {
  maxLength: 40,
  size: 'max',
});

describe('folding on what was folded', () => {
  test('is the same as folding everything from nothing, post by post, and leaves what it started from', () => {
    const met = { 'on top': 0, 'in between': 0, 'of the plan': 0, rewritten: 0 };
    fc.assert(
      fc.property(lots, (all) => {
        let record = folded('t', events(START));
        for (const lot of all) {
          const { history } = record;
          const fresh = lot.flatMap((made, i) => {
            const [event] = events([postOf(made, history)], history.length + i);
            return event === undefined ? [] : [event];
          });
          const before = structuredClone(record);
          const admitted = admit(record, fresh, NOW_MS);
          expect(record).toEqual(before);
          if (!admitted.ok) continue;
          const { after } = admitted.value;
          count(met, record, fresh);
          expect(whole(after)).toEqual(whole(folded('t', [...history, ...fresh])));
          record = after;
        }
      }),
      { numRuns: 120 },
    );
    // A run that met none of one sort would show nothing of it.
    expect(Math.min(...Object.values(met))).toBeGreaterThan(20);
  });

  test('the gate folds on too: what it refused leaves no trace', () => {
    const record = folded('t', events([...setUp({}), done(1, at(8))]));
    const before = structuredClone(record);
    const again = admit(record, events([done(1, at(9))], record.history.length), NOW_MS);
    expect(again.ok).toBe(false);
    expect(record).toEqual(before);
  });

  test('a new name changes the words of earlier signs', () => {
    const told = events([
      ...setUp({ climbers: ['mara', 'jonas'] }),
      {
        kind: 'watch.ok',
        atMs: at(8),
        data: { how: 'radio', who: ['mara'] },
      },
    ]);
    const rename = {
      kind: 'roster.edited',
      atMs: at(9),
      data: { id: 'mara', patch: { name: 'Mara Two' } },
    };
    const after = foldOn(folded('t', told), events([rename], told.length));
    const [sign] = after.state.watch.signs;
    expect(signWords(after.state, sign as Sign)).toContain('Mara Two');
  });

  test('a strike and an amendment are read as from nothing', () => {
    const told = events([
      ...setUp({ climbers: ['mara'] }),
      { ...done(1, at(8)), id: 'd1' },
      { ...done(2, at(9)), id: 'd2' },
      { ...joined('jonas', at(9)), id: 'j' },
    ]);
    for (const post of [strike('d2'), amend('d1', { atMs: at(7) }), strike('j')]) {
      const fresh = events([post], told.length);
      expect(whole(foldOn(folded('t', told), fresh))).toEqual(
        whole(folded('t', [...told, ...fresh])),
      );
    }
  });
});

function count(met: Record<string, number>, { wall }: Folded, fresh: readonly Fact[]): void {
  const lastMs = wall.at(-1)?.atMs ?? 0;
  for (const { kind, atMs } of fresh) {
    const sort =
      kind === 'log.struck' || kind === 'log.amended'
        ? 'rewritten'
        : kindOf(kind).order === 'told'
          ? 'of the plan'
          : atMs < lastMs
            ? 'in between'
            : 'on top';
    met[sort] = (met[sort] ?? 0) + 1;
  }
}
