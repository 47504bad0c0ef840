import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { leads, mayLead } from '../../src/trip/rotation.ts';
import type { TripState } from '../../src/trip/state.ts';
import { at, done, joined, type Post, pitchOf, setUp, started, stateOf } from './build.ts';

const leaders = (state: TripState) => leads(state).map((l) => l.leader);
const swing = { rule: 'swing', people: [] };
const assign = (pitch: number, leader: string): Post => ({
  kind: 'lead.assigned',
  data: { pitch, leader },
});
const edit = (id: string, patch: object): Post => ({ kind: 'roster.edited', data: { id, patch } });
const remove = (id: string, atMs = at(12)): Post => ({
  kind: 'roster.removed',
  atMs,
  data: { id },
});

describe('orders', () => {
  it.each([
    ['swing', swing, 'mara jonas ines mara jonas ines mara jonas'],
    [
      'swing from another climber',
      { rule: 'swing', people: ['ines'] },
      'ines mara jonas ines mara jonas ines mara',
    ],
    [
      'blocks of three',
      { rule: 'block', n: 3, people: [] },
      'mara mara mara jonas jonas jonas ines ines',
    ],
    [
      'blocks of one',
      { rule: 'block', n: 1, people: [] },
      'mara jonas ines mara jonas ines mara jonas',
    ],
    [
      'a list that begins anew',
      { rule: 'list', leaders: ['mara', 'mara', 'ines'], people: ['mara', 'ines'] },
      'mara mara ines mara mara ines mara mara',
    ],
  ])('%s', (_, order, expected) => {
    expect(leaders(stateOf(setUp({ pitches: 8, order })))).toEqual(expected.split(' '));
  });

  test('says why', () => {
    const state = stateOf([
      ...setUp({ pitches: 4 }),
      assign(2, 'ines'),
      { kind: 'lead.linked', data: { first: 3 } },
      done(1, at(7), 'mara'),
    ]);
    expect(leads(state).map((l) => l.reason)).toEqual([
      { why: 'told' },
      { why: 'assigned', by: 'mara' },
      { why: 'swing', after: { leader: 'ines', pitch: 2, run: 1 } },
      { why: 'link', first: 3 },
    ]);
  });

  test('alone, one leads and nobody belays; with nobody, nobody does', () => {
    const solo = leads(stateOf(setUp({ climbers: ['mara'] })));
    expect(solo.every((l) => l.leader === 'mara' && l.belayer === undefined)).toBe(true);
    const none = leads(stateOf(setUp({ climbers: [] })));
    expect(none.every((l) => l.leader === undefined)).toBe(true);
  });

  test('the one who has waited longest of the others belays', () => {
    expect(leads(stateOf(setUp({}))).map((l) => l.belayer)).toEqual([
      ...['jonas', 'ines', 'mara', 'jonas', 'ines', 'mara'],
    ]);
  });
});

describe('overrides', () => {
  test('an assignment costs nobody a turn: whoever was passed over comes next', () => {
    const state = stateOf([...setUp({}), assign(2, 'mara')]);
    expect(leaders(state)).toEqual(['mara', 'mara', 'jonas', 'ines', 'mara', 'jonas']);
  });

  test('a swap exchanges two leaders and holds', () => {
    const swap = {
      kind: 'lead.swapped',
      data: { a: 2, b: 5, leaderA: 'jonas', leaderB: 'jonas' },
    };
    const other = { ...swap, data: { a: 2, b: 3, leaderA: 'jonas', leaderB: 'ines' } };
    expect(leaders(stateOf([...setUp({}), other])).slice(0, 4)).toEqual([
      ...['mara', 'ines', 'jonas', 'mara'],
    ]);
  });

  test('clearing puts the pitch back in the rotation', () => {
    const state = stateOf([
      ...setUp({}),
      assign(2, 'mara'),
      { kind: 'lead.cleared', data: { pitch: 2 } },
    ]);
    expect(leaders(state)).toEqual(leaders(stateOf(setUp({}))));
  });

  test('what was told counts before any plan', () => {
    const state = stateOf([...setUp({}), assign(1, 'jonas'), done(1, at(7), 'ines')]);
    expect(leaders(state).slice(0, 3)).toEqual(['ines', 'mara', 'jonas']);
  });

  test('a link is one turn, led by one climber', () => {
    const state = stateOf([...setUp({}), { kind: 'lead.linked', data: { first: 2 } }]);
    expect(leaders(state)).toEqual(['mara', 'jonas', 'jonas', 'ines', 'mara', 'jonas']);
  });
});

describe('the party changes', () => {
  test('somebody who joins mid-route queues behind all who were there', () => {
    const posts = [
      ...setUp({ pitches: 7, climbers: ['mara', 'jonas'] }),
      done(1, at(7), 'mara'),
      done(2, at(8), 'jonas'),
      joined('ines', at(9)),
    ];
    expect(leaders(stateOf(posts))).toEqual([
      ...['mara', 'jonas', 'mara', 'ines', 'jonas', 'mara', 'ines'],
    ]);
  });

  test('and it is the same when the pitches are told after the joining', () => {
    const early = [
      ...setUp({ climbers: ['mara', 'jonas'] }),
      done(1, at(7), 'mara'),
      done(2, at(8), 'jonas'),
      joined('ines', at(9)),
    ];
    const late = [
      ...setUp({ climbers: ['mara', 'jonas'] }),
      joined('ines', at(9)),
      { ...done(1, at(7), 'mara'), toldMs: at(10) },
      { ...done(2, at(8), 'jonas'), toldMs: at(10) },
    ];
    expect(leaders(stateOf(late))).toEqual(leaders(stateOf(early)));
  });

  test('a party set up late keeps its order: nobody counts as a joiner', () => {
    const [opened, topo] = setUp({ climbers: [] }) as [Post, Post];
    const late = [
      opened,
      topo,
      joined('mara', at(10)),
      joined('jonas', at(10, 1)),
      joined('ines', at(10, 2)),
      { ...done(1, at(7), 'mara'), toldMs: at(11) },
      { ...done(2, at(8), 'jonas'), toldMs: at(11) },
    ];
    expect(leaders(stateOf(late)).slice(2)).toEqual(['ines', 'mara', 'jonas', 'ines']);
  });

  test('somebody who leaves is passed over, and what they led stays', () => {
    const state = stateOf([
      ...setUp({}),
      assign(6, 'jonas'),
      done(1, at(7), 'mara'),
      done(2, at(8), 'jonas'),
      remove('jonas'),
    ]);
    expect(leaders(state)).toEqual(['mara', 'jonas', 'ines', 'mara', 'ines', 'mara']);
    expect(state.assigned.size).toBe(0);
  });

  test.each([
    ['hurt, follows only', edit('jonas', { leads: false })],
    ['on the ground crew now', edit('jonas', { roles: ['ground'] })],
  ])('%s: leads no more, not even what was assigned; what was led stands', (_, change) => {
    const state = stateOf([...setUp({}), assign(5, 'jonas'), done(1, at(7), 'jonas'), change]);
    expect(leaders(state)).toEqual(['jonas', 'mara', 'ines', 'mara', 'ines', 'mara']);
    const back = stateOf([
      ...setUp({}),
      assign(5, 'jonas'),
      change,
      edit('jonas', { leads: true, roles: ['climber'] }),
    ]);
    expect(leaders(back)).toContain('jonas');
  });

  test('a listed climber who cannot lead is stood in for', () => {
    const order = { rule: 'list', leaders: ['mara', 'jonas'], people: ['mara', 'jonas'] };
    const state = stateOf([...setUp({ order }), edit('jonas', { leads: false })]);
    expect(leaders(state)).toEqual(['mara', 'ines', 'mara', 'ines', 'mara', 'ines']);
  });
});

describe('ceilings', () => {
  const party = [
    { id: 'mara', free: '6c', aid: 'A2' },
    { id: 'jonas', free: '6a+', aid: 'A1' },
    { id: 'ines' },
  ];
  const state = stateOf(
    setUp({
      climbers: party,
      pitches: [
        pitchOf(1, { free: '6c' }),
        pitchOf(2, { free: '6b' }),
        pitchOf(3, { aid: 'A4' }),
        pitchOf(4, { free: '6c+' }),
        pitchOf(5, { free: '6b', aid: 'A1' }),
        pitchOf(6, { free: '5.11b' }),
      ],
    }),
  );

  test('warns above a ceiling and names who could; an unknown ceiling says nothing', () => {
    expect(leads(state).map((l) => [l.leader, l.aboveCeiling, l.could])).toEqual([
      ['mara', false, []],
      ['jonas', true, ['mara', 'ines']],
      ['ines', false, []],
      ['mara', true, ['ines']],
      ['jonas', true, ['mara', 'ines']],
      ['ines', false, []],
    ]);
  });

  test('a mixed pitch asks for both; another system is held to the same ladder', () => {
    const pitch = (n: number) => state.pitches[n - 1]!;
    expect(mayLead(state, pitch(5), 'mara')).toBe(true);
    expect(mayLead(state, pitch(5), 'jonas')).toBe(false);
    // 5.11b is 6c+ in both published tables.
    expect(mayLead(state, pitch(6), 'mara')).toBe(false);
  });
});

describe('for any party and route', () => {
  const names = ['a', 'b', 'c', 'd', 'e', 'f'];
  const partyOf = (n: number) => names.slice(0, n);
  const sizes = {
    climbers: fc.integer({ min: 1, max: 6 }),
    pitches: fc.integer({ min: 1, max: 30 }),
  };

  test('swing shares differ by at most one, and nobody leads twice running', () => {
    fc.assert(
      fc.property(fc.record(sizes), ({ climbers, pitches }) => {
        const who = leaders(stateOf(setUp({ pitches, climbers: partyOf(climbers) })));
        const shares = partyOf(climbers).map((id) => who.filter((x) => x === id).length);
        expect(Math.max(...shares) - Math.min(...shares)).toBeLessThanOrEqual(1);
        if (climbers > 1) expect(who.some((x, i) => i > 0 && x === who[i - 1])).toBe(false);
      }),
    );
  });

  test('blocks are n long, the last one apart', () => {
    fc.assert(
      fc.property(fc.record(sizes), fc.integer({ min: 1, max: 6 }), ({ climbers, pitches }, n) => {
        const order = { rule: 'block', n, people: [] };
        const party = partyOf(climbers);
        const who = leaders(stateOf(setUp({ pitches, climbers: party, order })));
        who.forEach((x, i) => {
          expect(x).toBe(party[Math.floor(i / n) % climbers]);
        });
      }),
    );
  });

  test('overrides cost nobody a turn: between two turns of one climber everybody else had theirs', () => {
    const overrides = fc.array(fc.tuple(fc.integer({ min: 1, max: 20 }), fc.nat(3)), {
      maxLength: 4,
    });
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 4 }), overrides, (climbers, given) => {
        const party = partyOf(climbers);
        const set = new Map(given.map(([pitch, who]) => [pitch, party[who % climbers]!]));
        const posts = [
          ...setUp({ pitches: 20, climbers: party }),
          ...[...set].map(([pitch, leader]) => assign(pitch, leader)),
        ];
        const all = leads(stateOf(posts));
        for (const [pitch, leader] of set) expect(all[pitch - 1]?.leader).toBe(leader);
        all.forEach((lead, i) => {
          if (lead.reason.why !== 'swing') return;
          // Nobody but whoever led just now has waited longer than the leader.
          const last = (id: string) => all.slice(0, i).findLastIndex((l) => l.leader === id);
          const rivals = party.filter((id) => id !== lead.leader && id !== all[i - 1]?.leader);
          for (const id of rivals) {
            expect(last(lead.leader!)).toBeLessThanOrEqual(last(id));
          }
        });
      }),
    );
  });

  test('every pitch has a leader who may lead, and a belayer who is another climber', () => {
    const orders = fc.oneof(
      fc.constant(swing),
      fc.record({
        rule: fc.constant('block'),
        n: fc.integer({ min: 1, max: 4 }),
        people: fc.constant([]),
      }),
      fc.record({
        rule: fc.constant('list'),
        leaders: fc.array(fc.constantFrom('a', 'b', 'c'), { minLength: 1, maxLength: 5 }),
        people: fc.constant([]),
      }),
    );
    const changes = fc.array(
      fc.oneof(
        fc.constantFrom('a', 'b', 'c').map((id) => edit(id, { leads: false })),
        fc.constantFrom('a', 'b').map((id) => remove(id)),
        fc
          .tuple(fc.integer({ min: 1, max: 10 }), fc.constantFrom('a', 'b', 'c'))
          .map(([p, id]) => assign(p, id)),
        fc.integer({ min: 1, max: 9 }).map((first) => ({ kind: 'lead.linked', data: { first } })),
        fc.constant(joined('d', at(9))),
        fc.constant(started(1, at(6), 'a')),
      ),
      { maxLength: 8 },
    );
    fc.assert(
      fc.property(orders, changes, (order, posts) => {
        const state = stateOf([
          ...setUp({ pitches: 10, climbers: ['a', 'b', 'c'], order }),
          ...posts,
        ]);
        const here = state.people.filter((p) => p.leftAtMs === undefined);
        const able = here.filter((p) => p.leads).map((p) => p.id);
        for (const lead of leads(state)) {
          if (lead.reason.why === 'told' || lead.reason.why === 'link') continue;
          // An assignment told after somebody stopped leading is the rules' to refuse.
          if (lead.reason.why === 'assigned') continue;
          if (able.length > 0) expect(able).toContain(lead.leader);
          else expect(lead.leader).toBeUndefined();
          const others = here.filter((p) => p.id !== lead.leader);
          expect(lead.belayer === undefined).toBe(others.length === 0);
          expect(lead.belayer).not.toBe(lead.leader ?? 'nobody');
        }
      }),
    );
  });
});
