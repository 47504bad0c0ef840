/** What a trip is before anything is told, and which posts are signs of life. */
import { describe, expect, it } from 'vitest';
import { fold } from '../../src/trip/fold.ts';
import { leads } from '../../src/trip/rotation.ts';
import { signWords } from '../../src/trip/signs.ts';
import { at, done, type Post, setUp, stateOf } from './build.ts';

const ROUTE = setUp({ pitches: 2, climbers: ['mara', 'jonas'] });
const having = (...posts: Post[]) => stateOf([...ROUTE, ...posts]);
const of = (kind: string, data: object = {}, atMs = at(8)): Post => ({ kind, data, atMs });

it('a trip of which nothing was told is empty, with the usual settings', () => {
  expect(fold('t', [])).toMatchObject({
    id: 't',
    seq: 0,
    name: '',
    zone: 'UTC',
    place: {},
    units: 'm',
    confidence: 0.9,
    openedBy: { id: '', name: '' },
    people: [],
    pitches: [],
    order: { rule: 'swing', people: [] },
    breaks: [],
    cutoffs: [],
    bivyPlan: [],
    nights: [],
    rains: [],
    entries: [],
    clashes: [],
  });
});

it('a sign of life has its time, its telling, who told it and its words; by time of happening', () => {
  const state = having(
    of('watch.ok', { how: 'radio' }, at(9)),
    { ...done(1, at(7)), toldMs: at(10), by: 'greta' },
    of('rain.started', {}, at(8)),
  );
  const { watch, seq } = state;
  const [first, second, ...none] = watch.signs;
  expect(first).toEqual({
    atMs: at(7),
    recordedAtMs: at(10),
    seq: seq - 1,
    by: { id: 'local:greta', name: 'greta' },
    fact: state.entries.at(-2)?.event,
  });
  expect(second).toMatchObject({ atMs: at(9) });
  expect(watch.signs.map((s) => signWords(state, s))).toEqual(['pitch 1 done', 'all well']);
  expect(none).toEqual([]);
});

it('the editing of a trip leaves the posts it was made from as they were', () => {
  const place = { name: 'Lantern Gorge' };
  const opening = of('trip.opened', { ...(ROUTE[0]?.data as object), place });
  stateOf([opening, of('trip.edited', { place: { name: 'Elsewhere' } })]);
  expect(place).toEqual({ name: 'Lantern Gorge' });
});

it('nights are kept from the lowest up, in whatever order they were planned', () => {
  const plan = (pitch: number) => of('bivy.planned', { pitch });
  expect(having(plan(9), plan(10), plan(2)).bivyPlan).toEqual([2, 9, 10]);
});

describe('why somebody leads', () => {
  const reasons = (order: object) =>
    leads(stateOf(setUp({ pitches: 3, climbers: ['mara', 'jonas'], order }))).map((l) => l.reason);

  it('a block, and how far into it', () => {
    expect(reasons({ rule: 'block', n: 2, people: [] })).toEqual([
      { why: 'block', n: 2, nth: 1 },
      { why: 'block', n: 2, nth: 2 },
      { why: 'block', n: 2, nth: 1 },
    ]);
  });

  it('a list, and where it comes from', () => {
    const list = { rule: 'list', leaders: ['mara', 'jonas'], people: [] };
    expect(reasons(list)[0]).toEqual({ why: 'list' });
    expect(reasons({ ...list, from: 'fastest' })[1]).toEqual({ why: 'list', from: 'fastest' });
  });

  it('swing leads: nobody led before the first', () => {
    expect(reasons({ rule: 'swing', people: [] }).slice(0, 2)).toEqual([
      { why: 'swing' },
      { why: 'swing', after: { leader: 'mara', pitch: 1, run: 1 } },
    ]);
  });
});
