/** Who is with whom: parts of a party, what each was last heard of, and what is expected of each. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unmet } from '../../src/alarm/expectations.ts';
import { fold } from '../../src/trip/fold.ts';
import { modeOf } from '../../src/trip/mode.ts';
import { heardOfParts, partsOf } from '../../src/trip/parts.ts';
import { leads } from '../../src/trip/rotation.ts';
import { at, done, events, NOW_MS, type Post, setUp, stateOf } from './build.ts';
import { plain } from './plain.ts';
import { type Move, move, partyPost, play } from './random-posts.ts';

const TRIO = setUp({ pitches: 4, climbers: ['mara', 'jonas', 'ines'] });
const of = (kind: string, atMs: number, data: object = {}, by = 'mara'): Post => ({
  ...{ kind, atMs, data, by },
});
const LEFT = of('trip.departed', at(6));
const having = (...posts: Post[]) => stateOf([...TRIO, LEFT, ...posts]);
const parts = (...posts: Post[]) => partsOf(having(...posts)).map((p) => p.who.join(' '));
const ok = (atMs: number, who: string[], by = 'greta') =>
  of('watch.ok', atMs, { how: 'radio', who }, by);
const APART = of('party.split', at(8), { who: ['jonas'] });

describe('parts', () => {
  it.each([
    ['nobody parted', [], ['mara jonas ines']],
    ['one goes', [APART], ['mara ines', 'jonas']],
    ['two go', [of('party.split', at(8), { who: ['jonas', 'ines'] })], ['jonas ines', 'mara']],
    [
      'all on their own',
      [APART, of('party.split', at(9), { who: ['ines'] })],
      ['mara', 'jonas', 'ines'],
    ],
    ['met again', [APART, of('party.joined', at(9), { who: [] })], ['mara jonas ines']],
    ['one of them is out', [APART, of('party.out', at(9), { who: ['jonas'] })], ['mara ines']],
    [
      'who comes down isn’t the part that climbs on',
      [
        of('party.split', at(8), { who: ['jonas', 'ines'] }),
        of('retreat.began', at(9), { pitch: 1, who: ['jonas', 'ines'] }),
      ],
      ['jonas ines', 'mara'],
    ],
  ])('%s', (_, posts, expected) => {
    expect(parts(...posts)).toEqual(expected);
  });

  it('a part’s retreat leaves the others climbing', () => {
    const state = having(APART, of('retreat.began', at(9), { pitch: 1, who: ['jonas'] }));
    expect(modeOf(state, at(9)).is).not.toBe('retreating');
    expect(state.partRetreats[0]?.who).toEqual(['jonas']);
  });

  it('who has gone leads no more', () => {
    const led = (...posts: Post[]) => leads(having(...posts)).map((l) => l.leader);
    expect(led()).toEqual(['mara', 'jonas', 'ines', 'mara']);
    expect(led(APART)).toEqual(['mara', 'ines', 'mara', 'ines']);
  });
});

describe('each part is waited for on its own', () => {
  const nightly = of('watch.nightly', at(6), { clock: '21:00' });

  it('a word of one part says nothing of the other', () => {
    const one = unmet(having(nightly, APART, ok(at(21), ['mara', 'ines'])));
    expect(one[0]).toMatchObject({ kind: 'nightly', dueMs: at(21), of: 'jonas' });
    const both = unmet(having(nightly, APART, ok(at(21), ['mara', 'ines']), ok(at(21), ['jonas'])));
    expect(both[0]?.dueMs).toBe(at(45));
  });

  it('a pitch speaks of the part of whoever led it, and a relayed word of those it names', () => {
    const state = having(
      APART,
      of('pitch.done', at(10), { pitch: 1, leader: 'ines' }, 'greta'),
      ok(at(11), ['jonas']),
    );
    expect(heardOfParts(state).map((p) => [p.who.join(' '), p.sign?.atMs])).toEqual([
      ['mara ines', at(10)],
      ['jonas', at(11)],
    ]);
  });

  it('a promise of one part is kept by that part, and owed by nobody who is out', () => {
    const promise = of('watch.promised', at(9), { dueMs: at(13), who: ['jonas'] });
    const open = (...posts: Post[]) =>
      unmet(having(APART, promise, ...posts)).some((e) => e.kind === 'checkin');
    expect(open(ok(at(13), ['mara', 'ines']))).toBe(true);
    expect(open(ok(at(13), ['jonas']))).toBe(false);
    expect(open(of('party.out', at(10), { who: ['jonas'] }))).toBe(false);
  });

  it('a call-out time is excused by a word of everybody only', () => {
    const agreed = of('watch.planned', at(6), { calloutMs: at(20) });
    const open = (...posts: Post[]) =>
      unmet(having(agreed, APART, ...posts)).some((e) => e.kind === 'callout');
    expect(open(ok(at(20), ['mara', 'ines']))).toBe(true);
    expect(open(ok(at(20), ['mara', 'ines']), ok(at(20), ['jonas']))).toBe(false);
  });
});

const moves = fc.array(
  fc.oneof(
    { weight: 3, arbitrary: move },
    { weight: 2, arbitrary: partyPost.map((p): Move => ({ post: p })) },
  ),
  { maxLength: 60, size: 'max' },
);

describe('over random histories', () => {
  it('everybody on the wall is in exactly one part, whatever was told', () => {
    fc.assert(
      fc.property(moves, (made) => {
        const state = fold('t', play(made));
        const all = partsOf(state).flatMap((p) => p.who);
        expect(new Set(all).size).toBe(all.length);
        expect(partsOf(state).every((p) => p.who.length > 0 || all.length === 0)).toBe(true);
      }),
      { numRuns: 60 },
    );
  });

  it('parting and struck again leaves nothing behind', () => {
    const before = events([...TRIO, LEFT, done(1, at(7))]);
    const split = events([APART], before.length);
    const struck = events([of('log.struck', at(9), { target: split[0]?.id })], before.length + 1);
    expect(plain(fold('t', [...before, ...split, ...struck]))).toEqual(plain(fold('t', before)));
    expect(NOW_MS).toBeGreaterThan(at(9));
  });
});
