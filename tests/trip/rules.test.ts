import { describe, expect, it, test } from 'vitest';
import { LIMITS } from '../../src/limits.ts';
import type { RuleCode } from '../../src/say/refusal-codes.ts';
import type { No } from '../../src/trip/rules/no.ts';
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
  strike,
} from './build.ts';
import { readable } from './readable.ts';

const ROUTE = setUp({ climbers: ['mara', 'jonas'] });
const posts = (...more: Post[]) => [...ROUTE, ...more];
const link = (first: number): Post => ({ kind: 'lead.linked', data: { first } });
const rest = (pitch: number, minutes: number, atMs: number): Post => ({
  kind: 'pitch.break',
  atMs,
  data: { pitch, minutes },
});
const of = (kind: string, atMs = at(8), data: object = {}): Post => ({ kind, atMs, data });
const D1: Post = { ...done(1, at(7)), id: 'd1' };
const RETREAT = of('retreat.began', at(8), { pitch: 1 });

/** What meets each rule; the type asks for every one of them. */
const MEETS: Record<RuleCode, readonly (() => No)[]> = {
  'no-such-trouble': [
    () =>
      noOf(ROUTE, of('trouble.over', at(8), { trouble: 'none', said: 'all fine', left: 'well' })),
  ],
  'time-ahead': [
    () => noOf(ROUTE, done(1, NOW_MS + 120_000)),
    () => noOf(posts(D1), amend('d1', { atMs: NOW_MS + 120_000 })),
    () => noOf(ROUTE, { ...done(1, at(7)), toldMs: NOW_MS + 120_000 }),
  ],
  'time-before-previous-pitch': [
    () => noOf(posts(D1), done(2, at(6))),
    () => noOf(posts(started(1, at(7)), fixed(1, at(7, 30))), started(2, at(7, 20))),
  ],
  'time-inside-pitch': [() => noOf(posts(started(1, at(8))), done(1, at(7)))],
  'previous-not-done': [() => noOf(posts(D1), done(3, at(9)))],
  'previous-not-reached': [
    () => noOf(ROUTE, started(2, at(9))),
    () => noOf(posts(started(1, at(7))), fixed(2, at(9))),
  ],
  'told-twice': [() => noOf(posts(D1), done(1, at(8))), () => noOf(posts(D1), done(1, at(6)))],
  'no-such-pitch': [
    () => noOf(ROUTE, done(7, at(7))),
    () => noOf(setUp({ pitches: 0 }), done(1, at(7))),
    () => noOf(ROUTE, of('lead.assigned', at(7), { pitch: 9, leader: 'mara' })),
    () => noOf(ROUTE, rest(9, 10, at(9))),
    () => noOf(ROUTE, of('retreat.began', at(9), { pitch: 7 })),
    () => noOf(ROUTE, of('topo.removed', at(7), { number: 2 })),
  ],
  'no-such-person': [
    () => noOf(ROUTE, of('roster.removed', at(7), { id: 'nobody' })),
    () => noOf(ROUTE, of('roster.edited', at(7), { id: 'nobody', patch: {} })),
  ],
  'same-person-twice': [() => noOf(ROUTE, joined('mara', at(7)))],
  'not-a-climber': [
    () => noOf(ROUTE, done(1, at(7), 'nobody')),
    () => noOf(posts(joined('greta', at(6), { roles: ['ground'] })), done(1, at(7), 'greta')),
    () => noOf(ROUTE, of('lead.assigned', at(7), { pitch: 2, leader: 'nobody' })),
    () =>
      noOf(
        posts(of('roster.edited', at(6), { id: 'jonas', patch: { leads: false } })),
        of('lead.assigned', at(7), { pitch: 2, leader: 'jonas' }),
      ),
  ],
  'link-too-long': [
    () => noOf(setUp({ pitches: [pitchOf(1, { lengthM: 40 }), pitchOf(2)] }), link(1)),
    () => noOf(posts(link(1)), of('trip.edited', at(7), { settings: { leadLineM: 60 } })),
  ],
  'link-overlaps': [() => noOf(posts(link(1)), link(2))],
  'link-off-topo': [() => noOf(ROUTE, link(6))],
  'no-such-link': [() => noOf(ROUTE, of('lead.unlinked', at(7), { first: 1 }))],
  'after-down': [
    () => noOf(posts(D1, of('trip.down')), done(2, at(9))),
    () => noOf(posts(D1, done(2, at(9))), of('trip.down')),
  ],
  'down-before-pitch': [() => noOf(posts(of('trip.departed', at(9))), of('trip.down', at(8)))],
  'depart-after-pitch': [() => noOf(posts(D1), of('trip.departed'))],
  'phase-twice': [() => noOf(posts(of('trip.departed')), of('trip.departed', at(9)))],
  closed: [() => noOf(posts(of('trip.closed')), D1), () => noOf(ROUTE, of('trip.closed'), D1)],
  opening: [() => noOf([], D1), () => noOf(ROUTE, ROUTE[0] as Post)],
  'no-such-cutoff': [() => noOf(ROUTE, of('cutoff.removed', at(7), { id: 'c9' }))],
  night: [
    () => noOf(ROUTE, of('bivy.left')),
    () =>
      noOf(posts(of('bivy.settled', at(7), { pitch: 1 })), of('bivy.settled', at(8), { pitch: 1 })),
  ],
  rain: [
    () => noOf(ROUTE, of('rain.stopped')),
    () => noOf(posts(of('rain.started', at(7))), of('rain.started')),
  ],
  waiting: [() => noOf(ROUTE, of('wait.ended'))],
  retreating: [
    () => noOf(ROUTE, of('retreat.stopped')),
    () => noOf(ROUTE, of('retreat.rappelled', at(8), { station: 0 })),
    () => noOf(posts(D1, RETREAT), of('retreat.began', at(9), { pitch: 1 })),
    () => noOf(posts(D1, RETREAT), of('retreat.rappelled', at(9), { station: 2 })),
    () =>
      noOf(
        posts(D1, RETREAT, of('retreat.rappelled', at(9), { station: 0 })),
        of('retreat.rappelled', at(10), { station: 1 }),
      ),
    () => noOf(posts(D1, RETREAT), started(2, at(9))),
    () => noOf(posts(D1, RETREAT, of('retreat.stopped', at(10))), done(2, at(9))),
  ],
  'break-overlaps': [() => noOf(posts(rest(1, 30, at(8))), rest(1, 30, at(8, 15)))],
  'break-outside': [
    () => noOf(posts(started(1, at(7))), rest(1, 30, at(7, 15))),
    () => noOf(posts(D1), rest(1, 30, at(7, 15))),
  ],
  'no-such-entry': [
    () => noOf(ROUTE, strike('gone')),
    () => noOf(ROUTE, amend('gone', { pitch: 1 })),
  ],
  'already-struck': [
    () => noOf(posts(D1, strike('d1')), strike('d1')),
    () => noOf(posts(D1, strike('d1')), amend('d1', { atMs: at(6) })),
  ],
  'cannot-strike': [() => noOf([{ ...(ROUTE[0] as Post), id: 'o1' }], strike('o1'))],
  'cannot-amend': [
    () => noOf(posts({ ...fixed(1, at(7)), id: 'f1' }), amend('f1', { leader: 'mara' })),
    () => noOf(posts({ ...link(1), id: 'l1' }), amend('l1', { atMs: at(7) })),
  ],
  'nothing-to-change': [() => noOf(posts(D1), amend('d1', {}))],
  'not-readable': [
    () => noOf(ROUTE, of('pitch.sung')),
    () => noOf(ROUTE, of('pitch.done', at(7), { pitch: 0 })),
    () => noOf(ROUTE, of('pitch.done', at(7), { pitch: 1, colour: 'red' })),
    () => noOf([], of('trip.opened', at(7), { ...(ROUTE[0]?.data as object), zone: 'Mars/Base' })),
  ],
  'too-many': [
    () => noOf(ROUTE, ...Array.from({ length: LIMITS.climbers }, (_, i) => joined(`c${i}`, at(7)))),
    () =>
      noOf(
        ROUTE,
        ...Array.from({ length: LIMITS.people }, (_, i) =>
          joined(`g${i}`, at(7), { roles: ['ground'] }),
        ),
      ),
    () =>
      noOf(
        ROUTE,
        ...Array.from({ length: LIMITS.events }, () => of('trip.edited', at(7), { units: 'm' })),
      ),
  ],
};

describe.each(Object.entries(MEETS))('%s', (rule, cases) => {
  it.each(cases.map((make, i) => [i + 1, make] as const))('case %d', (_, make) => {
    const no = make();
    expect(no.rule).toBe(rule);
    readable(no);
  });
});

describe('a trip holds what its limits say, and not one more', () => {
  const ground = (n: number) =>
    Array.from({ length: n }, (_, i) => joined(`g${i}`, at(7), { roles: ['ground'] }));
  const climbing = (n: number) => Array.from({ length: n }, (_, i) => joined(`c${i}`, at(7)));

  test.each([
    ['people', ground(LIMITS.people - 2), joined('one-more', at(7), { roles: ['ground'] })],
    ['climbers', climbing(LIMITS.climbers - 2), joined('one-more', at(7))],
  ])('%s', (_, others, last) => {
    expect(admitAfter(ROUTE, others).ok).toBe(true);
    expect(noOf(posts(...others), last).rule).toBe('too-many');
  });
});

describe('who is named in the way out', () => {
  test('told out of order: the post that stands, never the one just refused', () => {
    const five = [started(1, at(7)), { ...started(2, at(8)), id: 's2' }] as const;
    const no = noOf(posts(five[0], fixed(1, at(7, 50)), five[1]), amend('s2', { atMs: at(7, 30) }));
    expect(no.text).toBe("Pitch 1 was fixed at 07:50, so pitch 2 can't be started at 07:30.");
    const late = noOf(posts(D1, started(2, at(8))), fixed(1, at(9)));
    expect(late.rule).toBe('time-inside-pitch');
    // Entry 5 is the completion of pitch 1; 7 would be the refused post.
    expect(late.ways).toEqual(['If 07:00 is wrong: /pitch amend entry:5']);
  });

  test('told twice: the first telling stands, whichever time it names', () => {
    for (const again of [at(6), at(8)]) {
      const no = noOf(posts(D1), done(1, again));
      expect(no).toMatchObject({ seq: 5, mark: 'done', pitch: 1 });
      expect(no.text).toContain('is done already, at 07:00 (told 07:00 by mara)');
    }
  });
});

describe('what passes', () => {
  test.each([
    [
      'equal times: radio words are rounded',
      posts(started(1, at(7)), fixed(1, at(7)), done(1, at(7)), done(2, at(7))),
    ],
    [
      'a pitch started while the seconds are still on the one below',
      posts(started(1, at(7)), fixed(1, at(8)), started(2, at(8, 10)), done(1, at(8, 40))),
    ],
    ['posts from before the departure was told', posts(done(1, at(7)), of('trip.departed', at(6)))],
    ['down without having topped out: a retreat', posts(D1, of('trip.down', at(12)))],
    ['a minute ahead of our clock: watches differ', posts(done(1, NOW_MS + 60_000))],
    [
      'the lead of somebody who has left since',
      posts(done(1, at(7), 'jonas'), of('roster.removed', at(8), { id: 'jonas' })),
    ],
  ])('%s', (_, told) => {
    const [last, ...before] = told.toReversed() as [Post, ...Post[]];
    expect(admitAfter(before.toReversed(), [last])).toMatchObject({ ok: true });
  });
});
