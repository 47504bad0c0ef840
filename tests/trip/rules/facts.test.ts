/** What a refusal carries besides its words, from which buttons are made; and what passes by a hair. */
import { describe, expect, it, test } from 'vitest';
import { LIMITS } from '../../../src/limits.ts';
import { linkLimitM } from '../../../src/trip/rules/leading.ts';
import { ahead } from '../../../src/trip/rules/times.ts';
import {
  admitAfter,
  amend,
  at,
  done,
  fixed,
  joined,
  NOW_MS,
  noOf,
  type Post,
  pitchOf,
  setUp,
  started,
  stateOf,
  strike,
} from '../build.ts';

const ROUTE = setUp({ climbers: ['mara', 'jonas'] });
const posts = (...more: Post[]) => [...ROUTE, ...more];
const of = (kind: string, data: object = {}, atMs = at(8)): Post => ({ kind, atMs, data });
const rest = (pitch: number, minutes: number, atMs: number) =>
  of('pitch.break', { pitch, minutes }, atMs);
const keep = (pitch: number, leader: string) => of('lead.assigned', { pitch, leader });
const D1: Post = { ...done(1, at(7)), id: 'd1' };
const NEXT = ROUTE.length + 1;

const facts = (before: readonly Post[], ...fresh: Post[]) => {
  const { text: _, ways: __, ...rest } = noOf(before, ...fresh);
  return rest;
};

describe('a refusal carries', () => {
  it.each([
    [
      'the entry that stands',
      posts(D1),
      [done(1, at(8))],
      { rule: 'told-twice', pitch: 1, mark: 'done', seq: NEXT },
    ],
    [
      'the pitch that there is not',
      ROUTE,
      [started(7, at(7))],
      { rule: 'no-such-pitch', pitch: 7, mark: 'started', seq: NEXT },
    ],
    [
      'who is not there',
      ROUTE,
      [of('roster.removed', { id: 'eva' })],
      { rule: 'no-such-person', person: 'eva', seq: NEXT },
    ],
    [
      'the pitches left out',
      posts(D1),
      [done(4, at(9))],
      { rule: 'previous-not-done', pitch: 4, missing: [2, 3], mark: 'done' },
    ],
    [
      'the pitches not reached',
      ROUTE,
      [started(3, at(9))],
      { rule: 'previous-not-reached', pitch: 3, missing: [1, 2], mark: 'started' },
    ],
    [
      'both times that contradict each other, and the other entry to mend',
      posts(started(1, at(8))),
      [done(1, at(7))],
      {
        rule: 'time-inside-pitch',
        pitch: 1,
        seq: NEXT,
        clash: [
          { seq: NEXT, shown: '08:00' },
          { seq: NEXT + 1, shown: '07:00' },
        ],
      },
    ],
    [
      'the same between two pitches',
      posts(D1),
      [done(2, at(6))],
      {
        rule: 'time-before-previous-pitch',
        pitch: 2,
        seq: NEXT,
        clash: [
          { seq: NEXT, shown: '07:00' },
          { seq: NEXT + 1, shown: '06:00' },
        ],
      },
    ],
    [
      'the mark before the departure',
      posts(D1),
      [of('trip.departed')],
      { rule: 'depart-after-pitch', pitch: 1, seq: NEXT },
    ],
    [
      'the mark after being down',
      posts(of('trip.down')),
      [done(1, at(9))],
      { rule: 'after-down', pitch: 1, seq: NEXT + 1 },
    ],
    [
      'the pitch of a break',
      posts(rest(1, 30, at(8))),
      [rest(1, 30, at(8, 15))],
      { rule: 'break-overlaps', pitch: 1 },
    ],
    [
      'the pitch of a break off the topo',
      ROUTE,
      [rest(7, 5, at(8))],
      { rule: 'no-such-pitch', pitch: 7 },
    ],
    [
      'the pitch of a break outside',
      posts(D1),
      [rest(1, 30, at(8))],
      { rule: 'break-outside', pitch: 1 },
    ],
    [
      'who cannot lead what',
      ROUTE,
      [done(1, at(7), 'eva')],
      { rule: 'not-a-climber', pitch: 1, person: 'eva' },
    ],
    [
      'who is given what',
      posts(D1),
      [keep(1, 'eva')],
      { rule: 'not-a-climber', pitch: 1, person: 'eva' },
    ],
    ['the pitch kept off the topo', ROUTE, [keep(7, 'mara')], { rule: 'no-such-pitch', pitch: 7 }],
    [
      'the lower pitch of a link',
      posts(of('lead.linked', { first: 1 })),
      [of('lead.linked', { first: 2 })],
      { rule: 'link-overlaps', pitch: 1 },
    ],
    [
      'the lower pitch of a link off the topo',
      ROUTE,
      [of('lead.linked', { first: 6 })],
      { rule: 'link-off-topo', pitch: 6 },
    ],
    [
      'the lower pitch of a link too long',
      setUp({ pitches: [pitchOf(1, { lengthM: 60 }), pitchOf(2)] }),
      [of('lead.linked', { first: 1 })],
      { rule: 'link-too-long', pitch: 1 },
    ],
    [
      'the entry that is struck',
      posts(D1, strike('d1')),
      [strike('d1')],
      { rule: 'already-struck', seq: NEXT },
    ],
    [
      'the entry that has no such field',
      posts({ ...keep(1, 'mara'), id: 'k' }),
      [amend('k', { pitch: 2 })],
      { rule: 'cannot-amend', seq: NEXT },
    ],
    [
      'the time to come',
      ROUTE,
      [done(1, NOW_MS + 90_000)],
      { rule: 'time-ahead', atMs: NOW_MS + 90_000 },
    ],
  ] as [string, Post[], Post[], object][])('%s', (_, before, fresh, expected) => {
    expect(facts(before, ...fresh)).toEqual(expected);
  });
});

describe('what was told to people can’t be unsaid', () => {
  it.each([
    ['watch.raised', { phase: 'due', root: 'down', dueMs: 5, to: [] }],
    ['watch.acked', { person: 'dana' }],
    ['watch.called', {}],
    ['watch.drill', { to: 'dana' }],
    ['watch.drilled', { to: 'dana' }],
    ['watch.unreached', { person: 'dana', why: 'gone' }],
    ['watch.sheet', { as: 'print' }],
  ])('%s', (kind, data) => {
    const no = noOf(posts({ ...of(kind, data), id: 'w1' }), strike('w1'));
    expect(no).toEqual({
      rule: 'cannot-strike',
      text: `Entry ${NEXT} was told to people and can't be struck.`,
      ways: [],
      seq: NEXT,
    });
  });

  it.each(['watch.promised', 'watch.planned', 'watch.ok', 'watch.details'])('%s can', (kind) => {
    const data = { 'watch.promised': { dueMs: 5 }, 'watch.ok': { how: 'self' } }[kind] ?? {};
    const told = posts({ ...of(kind, data), id: 'w1' });
    expect(admitAfter(told, [strike('w1')]).ok).toBe(true);
  });
});

describe('what passes by a hair', () => {
  const passes = (before: readonly Post[], ...fresh: Post[]) =>
    expect(admitAfter(before, fresh)).toMatchObject({ ok: true });

  test('a link that takes the last of the rope', () => {
    const two = setUp({ pitches: [pitchOf(1, { lengthM: 35 }), pitchOf(2)] });
    expect(linkLimitM(stateOf(two))).toBe(65);
    passes(two, of('lead.linked', { first: 1 }));
  });

  test('two links side by side, up to the last pitch', () => {
    passes(posts(of('lead.linked', { first: 1 })), of('lead.linked', { first: 3 }));
    passes(ROUTE, of('lead.linked', { first: 5 }));
  });

  test('breaks that touch, and that fill a pitch to its edges', () => {
    passes(posts(rest(1, 30, at(8))), rest(1, 30, at(8, 30)));
    passes(posts(started(1, at(7)), done(1, at(8))), rest(1, 60, at(8)));
    passes(posts(D1), rest(2, 10, at(7, 10)));
    // Told in any order.
    passes(posts(rest(1, 30, at(8, 30))), rest(1, 30, at(8)));
  });

  test('a mark at the minute of the departure, and of being down', () => {
    passes(posts(of('trip.departed', {}, at(7))), done(1, at(7)), of('trip.down', {}, at(7)));
    passes(ROUTE, of('trip.departed'), of('trip.down'));
  });

  test('the last pitch kept for somebody, and a full party', () => {
    passes(ROUTE, keep(6, 'mara'));
    passes(ROUTE, ...Array.from({ length: LIMITS.climbers - 2 }, (_, i) => joined(`c${i}`, at(7))));
    const left = of('roster.removed', { id: 'mara' });
    passes(
      posts(left),
      ...Array.from({ length: LIMITS.climbers - 1 }, (_, i) => joined(`c${i}`, at(7))),
    );
    passes(
      ROUTE,
      ...Array.from({ length: LIMITS.people - 2 }, (_, i) =>
        joined(`g${i}`, at(7), { roles: ['ground'] }),
      ),
    );
    passes(ROUTE, ...Array.from({ length: LIMITS.events - ROUTE.length }, () => of('trip.edited')));
  });

  test('whoever leads what is kept for them until they stop; what is done is not asked again', () => {
    // Kept for Jonas, led by Mara, and Jonas no longer climbs: the pitch is done, so nothing is wrong.
    passes(posts(keep(1, 'jonas'), done(1, at(7), 'mara')), of('roster.removed', { id: 'jonas' }));
  });

  test('a pitch started as soon as the line below is fixed', () => {
    passes(posts(started(1, at(6)), fixed(1, at(7))), started(2, at(7)));
  });

  test('a time up to the slack, and not a moment more', () => {
    const state = stateOf(ROUTE);
    expect(ahead(state, 1_060, 1_000, 60)).toEqual([]);
    expect(ahead(state, 1_061, 1_000, 60)).toHaveLength(1);
  });

  test('an amendment of the time of what happened', () => {
    passes(posts(D1), amend('d1', { atMs: at(6) }));
    passes(posts(D1), amend('d1', { pitch: 1, leader: 'mara' }));
    // To leave a field open is not to change it.
    passes(posts({ ...fixed(1, at(7)), id: 'f' }), {
      kind: 'log.amended',
      data: { target: 'f', atMs: at(6), leader: undefined },
    });
  });
});
