import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { admit } from '../../src/trip/admit.ts';
import type { Fact } from '../../src/trip/fact.ts';
import { fold, folded } from '../../src/trip/fold.ts';
import { kindOf } from '../../src/trip/kinds/index.ts';
import { amend, at, done, events, HOUR, NOW_MS, noOf, setUp, stateOf, strike } from './build.ts';
import { plain } from './plain.ts';
import { type Move, manyMoves, move, play, START, wallPost } from './random-posts.ts';

const state = (history: readonly Fact[]) => fold('t', history);
const renumbered = (list: readonly Fact[]) => list.map((e, i) => ({ ...e, seq: i + 1 }));

describe('any order of telling', () => {
  const walls = fc.array(
    wallPost.map((post): Move => ({ post })),
    { maxLength: 30 },
  );

  test('the same posts give the same state, whoever tells them first', () => {
    fc.assert(
      fc.property(walls, fc.infiniteStream(fc.nat(1000)), (some, keys) => {
        const told = play(some);
        const opening = told.slice(0, START.length);
        // One time, two posts: which happened first is only known from the telling.
        const rest = told.slice(START.length);
        fc.pre(new Set(rest.map((e) => e.atMs)).size === rest.length);
        const shuffled = rest
          .map((event) => ({ event, key: keys.next().value as number }))
          .sort((a, b) => a.key - b.key)
          .map(({ event }) => event);
        expect(plain(state(renumbered([...opening, ...shuffled])))).toEqual(plain(state(told)));
      }),
    );
  });

  test('two people telling by turns, each in their own order, give the same state', () => {
    fc.assert(
      fc.property(walls, fc.array(fc.boolean(), { maxLength: 40 }), (some, turns) => {
        const told = play(some);
        const rest = told.slice(START.length);
        fc.pre(new Set(rest.map((e) => e.atMs)).size === rest.length);
        const mine = rest.filter((_, i) => i % 2 === 0);
        const yours = rest.filter((_, i) => i % 2 === 1);
        const mixed: Fact[] = [];
        for (const turn of turns) mixed.push(...(turn ? mine : yours).splice(0, 1));
        const all = [...told.slice(0, START.length), ...mixed, ...mine, ...yours];
        expect(plain(state(renumbered(all)))).toEqual(plain(state(told)));
      }),
    );
  });

  test('told hours late is the same as told in time', () => {
    fc.assert(
      fc.property(manyMoves, fc.infiniteStream(fc.integer({ min: 0, max: 20 })), (some, delays) => {
        const told = play(some);
        const late = told.map((e) => ({
          ...e,
          recordedAtMs: e.recordedAtMs + (delays.next().value as number) * HOUR,
        }));
        expect(plain(state(late))).toEqual(plain(state(told)));
      }),
    );
  });

  test('the list of events may come in any order: their numbers say which was told first', () => {
    fc.assert(
      fc.property(manyMoves, (some) => {
        const told = play(some);
        expect(state(told.toReversed())).toEqual(state(told));
      }),
    );
  });
});

describe('striking', () => {
  const next = (history: readonly Fact[], kind: string, data: object) =>
    [...history, ...events([{ kind, atMs: NOW_MS, data }], history.length)] as Fact[];

  test('undoes exactly, and striking the strike brings it back exactly', () => {
    fc.assert(
      fc.property(manyMoves, move, (some, last) => {
        let admitted = false;
        const after = play([...some, last], (tried) => {
          admitted = tried.no === undefined;
        });
        fc.pre(admitted);
        const [before, made] = [after.slice(0, -1), after.at(-1) as Fact];
        const struck = next(after, 'log.struck', { target: made.id });
        expect(plain(state(struck))).toEqual(plain(state(before)));
        const back = next(struck, 'log.struck', { target: struck.at(-1)?.id });
        expect(plain(state(back))).toEqual(plain(state(after)));
      }),
    );
  });

  test('an amendment is the same as having told it so, and struck it leaves what was told', () => {
    const times = fc.integer({ min: 0, max: 24 }).map((quarter) => at(6, quarter * 15));
    fc.assert(
      fc.property(manyMoves, fc.nat(100), times, (some, n, atMs) => {
        const told = play(some);
        const wall = told.filter((e) => kindOf(e.kind)?.order === 'happened');
        fc.pre(wall.length > 0);
        const target = wall[n % wall.length] as Fact;
        fc.pre(!state(told).entries.some((e) => e.event === target && e.struckBy !== undefined));
        fc.pre(!told.some((e) => (e.data as { target?: string }).target === target.id));
        const amended = next(told, 'log.amended', { target: target.id, atMs });
        const toldSo = told.map((e) => (e === target ? { ...e, atMs } : e));
        expect(plain(state(amended))).toEqual(plain(state(toldSo)));
        const struck = next(amended, 'log.struck', { target: amended.at(-1)?.id });
        expect(plain(state(struck))).toEqual(plain(state(told)));
      }),
    );
  });

  test('the newest of several amendments holds, field by field', () => {
    const posts = [...setUp({}), { ...done(1, at(7), 'mara'), id: 'd1' }];
    const both = [
      ...posts,
      amend('d1', { atMs: at(8) }),
      { ...amend('d1', { atMs: at(9), leader: 'ines' }), id: 'a2' },
    ];
    expect(stateOf(both).pitches[0]?.done).toMatchObject({ atMs: at(9), leader: 'ines' });
    expect(stateOf([...both, strike('a2')]).pitches[0]?.done).toMatchObject({
      atMs: at(8),
      leader: 'mara',
    });
  });

  test('the log keeps both: which strike, which amendments', () => {
    const { entries } = stateOf([
      ...setUp({ climbers: ['mara'] }),
      { ...done(1, at(7)), id: 'd1' },
      amend('d1', { atMs: at(8) }),
      strike('d1'),
    ]);
    expect(entries.map((e) => [e.event.seq, e.struckBy, e.amendedBy])).toEqual([
      ...[1, 2, 3].map((n) => [n, undefined, []]),
      [4, 6, [5]],
      [5, undefined, []],
      [6, undefined, []],
    ]);
  });
});

test('an unknown kind, or one that JavaScript knows, is refused', () => {
  for (const kind of ['pitch.sung', 'constructor', '__proto__']) {
    expect(noOf(setUp({}), { kind, atMs: at(7) }).rule).toBe('not-readable');
  }
});

test('folding again what was folded gives the same: nothing is kept between', () => {
  fc.assert(
    fc.property(manyMoves, (some) => {
      const told = play(some);
      const frozen = structuredClone(told);
      const first = state(told);
      expect(state(told)).toEqual(first);
      expect(told).toEqual(frozen);
      const admitted = admit(folded('t', told), [], NOW_MS);
      expect(admitted.ok && admitted.value.after.state).toEqual(first);
    }),
  );
});
