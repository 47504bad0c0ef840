/** Which phase a trip is in, what it is before anything is told, and which posts are signs of life. */
import { describe, expect, it } from 'vitest';
import { fold } from '../../src/trip/fold.ts';
import { leads } from '../../src/trip/rotation.ts';
import { at, done, fixed, type Post, setUp, started, stateOf } from './build.ts';

const ROUTE = setUp({ pitches: 2, climbers: ['mara', 'jonas'] });
const having = (...posts: Post[]) => stateOf([...ROUTE, ...posts]);
const of = (kind: string, data: object = {}, atMs = at(8)): Post => ({ kind, data, atMs });
const TOP = [done(1, at(7)), done(2, at(8))];

describe('the phase', () => {
  it.each([
    ['nothing but a plan', [], 'preparing'],
    ['departed', [of('trip.departed')], 'climbing'],
    ['a pitch started', [started(1, at(7))], 'climbing'],
    ['a pitch fixed', [fixed(1, at(7))], 'climbing'],
    ['one pitch of two done', [done(1, at(7))], 'climbing'],
    ['every pitch done', TOP, 'descending'],
    ['down', [...TOP, of('trip.down', {}, at(12))], 'down'],
    ['down without having topped out', [of('trip.down', {}, at(12))], 'down'],
    ['closed', [...TOP, of('trip.down', {}, at(12)), of('trip.closed')], 'closed'],
    ['closed before it began', [of('trip.closed')], 'closed'],
  ] as [string, Post[], string][])('%s', (_, posts, phase) => {
    expect(having(...posts).phase).toBe(phase);
  });

  it('without a topo nobody has topped out', () => {
    expect(stateOf(setUp({ pitches: 0 })).phase).toBe('preparing');
  });
});

it('a trip of which nothing was told is empty, with the usual settings', () => {
  expect(fold('t', [])).toMatchObject({
    id: 't',
    seq: 0,
    name: '',
    zone: 'UTC',
    place: {},
    units: 'm',
    confidence: 0.9,
    phase: 'preparing',
    openedBy: { id: '', name: '' },
    people: [],
    pitches: [],
    order: { rule: 'swing', people: [] },
    breaks: [],
    cutoffs: [],
    bivyPlan: [],
    starts: new Map(),
    nights: [],
    rains: [],
    entries: [],
    clashes: [],
  });
});

it('a sign of life has its time, its telling, who told it and its words; by time of happening', () => {
  const { watch, seq } = having(
    of('watch.ok', { how: 'radio' }, at(9)),
    { ...done(1, at(7)), toldMs: at(10), by: 'greta' },
    of('rain.started', {}, at(8)),
  );
  const [first, second, ...none] = watch.signs;
  expect(first).toEqual({
    atMs: at(7),
    recordedAtMs: at(10),
    seq: seq - 1,
    by: { id: 'local:greta', name: 'greta' },
    words: 'pitch 1 done',
  });
  expect(second).toMatchObject({ atMs: at(9), words: 'all well' });
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
