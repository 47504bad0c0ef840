/** What each entry does to the state of the trip. */
import { describe, expect, it } from 'vitest';
import { KIND_NAMES, kindOf } from '../../../src/trip/kinds/index.ts';
import {
  at,
  done,
  fixed,
  joined,
  MINUTE,
  type Post,
  pitchOf,
  setUp,
  started,
  stateOf,
} from '../build.ts';

const ROUTE = setUp({ climbers: ['mara', 'jonas'] });
const having = (...posts: Post[]) => stateOf([...ROUTE, ...posts]);
const of = (kind: string, data: object = {}, atMs = at(8)): Post => ({ kind, data, atMs });
const whats = (...posts: Post[]) => having(...posts).clashes.map((c) => c.what);

describe('order and signs of life', () => {
  it('what takes place on the wall is read by when it happened, all else as it was told', () => {
    const wall = KIND_NAMES.filter((name) => kindOf(name).order === 'happened');
    expect([...wall].sort()).toEqual(
      [
        ...['pitch.started', 'pitch.fixed', 'pitch.done', 'pitch.break'],
        ...['trip.departed', 'trip.down', 'bivy.settled', 'bivy.left'],
        ...['rain.started', 'rain.stopped', 'rain.dry', 'watch.ok'],
        ...['retreat.began', 'retreat.rappelled', 'retreat.stopped'],
        ...['descent.reached', 'wait.began', 'wait.ended'],
        ...['party.split', 'party.joined', 'party.out', 'rope.done'],
      ].sort(),
    );
  });

  it('the party is known to be well by what it did itself; rain and plans say nothing of it', () => {
    const alive = KIND_NAMES.filter((name) => kindOf(name).alive === true);
    expect([...alive].sort()).toEqual(
      [
        ...['pitch.started', 'pitch.fixed', 'pitch.done', 'pitch.break'],
        ...['trip.departed', 'bivy.settled', 'bivy.left', 'watch.ok'],
        ...['retreat.began', 'retreat.rappelled', 'retreat.stopped'],
        ...['descent.reached', 'wait.began', 'wait.ended', 'party.out', 'rope.done'],
      ].sort(),
    );
  });

  it('a mark on a pitch may be moved to another pitch, and a lead to another leader', () => {
    const amendable = Object.fromEntries(
      KIND_NAMES.flatMap((name) => {
        const fields = kindOf(name).amendable;
        return fields === undefined ? [] : [[name, fields]];
      }),
    );
    expect(amendable).toEqual({
      'pitch.started': ['pitch', 'leader'],
      'pitch.fixed': ['pitch'],
      'pitch.done': ['pitch', 'leader'],
      'pitch.break': ['pitch'],
    });
  });
});

describe('the trip', () => {
  it('is opened with its name, place and numbers, by somebody, at a time', () => {
    const data = {
      name: 'Harrow',
      zone: 'UTC',
      place: { name: 'Lantern Gorge' },
      units: 'ft',
      confidence: 0.8,
      emergencyNumber: '112',
    };
    expect(stateOf([of('trip.opened', data, at(5))])).toMatchObject({
      ...data,
      openedAtMs: at(5),
      openedBy: { id: 'local:mara', name: 'mara' },
    });
  });

  it('is edited field by field; a place keeps what is not named', () => {
    const state = having(
      of('trip.edited', { place: { name: 'Gorge', lat: 1 } }),
      of('trip.edited', { name: 'Harrow', place: { lat: 2 } }),
    );
    expect(state).toMatchObject({ name: 'Harrow', place: { name: 'Gorge', lat: 2 }, units: 'm' });
  });

  it('has its settings changed one by one, and null brings the default back', () => {
    const edit = (settings: object) => of('trip.edited', { settings });
    expect(having(edit({ leadLineM: 60 }), edit({ bagKg: 20 })).settings).toMatchObject({
      leadLineM: 60,
      bagKg: 20,
      startClock: '06:00',
    });
    const back = having(edit({ leadLineM: 60, bagKg: 20 }), edit({ leadLineM: null, bagKg: null }));
    expect(back.settings.leadLineM).toBe(70);
    expect(back.settings).not.toHaveProperty('bagKg');
  });

  it('departs once and is down once: the second telling is a contradiction, the first in time holds', () => {
    const twice = having(of('trip.departed', {}, at(8)), of('trip.departed', {}, at(6)));
    expect(twice.departedAtMs).toBe(at(6));
    expect(twice.clashes).toMatchObject([{ what: 'phase-twice' }]);
    const down = having(of('trip.down', {}, at(20)), of('trip.down', {}, at(21)));
    expect(down.downAtMs).toBe(at(20));
    expect(down.clashes).toMatchObject([{ what: 'phase-twice', seq: down.seq }]);
    expect(having(of('trip.closed', {}, at(22))).closedAtMs).toBe(at(22));
  });
});

describe('the roster', () => {
  const person = (id: string, ...posts: Post[]) => having(...posts).people.find((p) => p.id === id);
  const edit = (patch: object, id = 'mara') => of('roster.edited', { id, patch });

  it('takes fields, changes those that are named, and takes away what is null', () => {
    const eva = joined('eva', at(7), { phone: '1', age: 30, free: '6b', aid: 'A1' });
    expect(person('eva', eva)).toMatchObject({ joinedAtMs: at(7), leads: true, hasClimbed: true });
    const edited = person('eva', eva, edit({ phone: null, age: 31 }, 'eva'));
    expect(edited).toMatchObject({ age: 31, joinedAtMs: at(7), free: { text: '6b' } });
    expect(edited?.aid?.text).toBe('A1');
    expect(edited).not.toHaveProperty('phone');
    expect(edited).not.toHaveProperty('leftAtMs');
  });

  it('remembers that somebody has climbed, and only of them', () => {
    expect(person('mara', edit({ roles: ['ground'] }))?.hasClimbed).toBe(true);
    const greta = joined('greta', at(7), { roles: ['ground'] });
    expect(person('greta', greta, edit({ age: 30 }, 'greta'))?.hasClimbed).toBeUndefined();
    expect(person('greta', greta, edit({ roles: ['climber'] }, 'greta'))?.hasClimbed).toBe(true);
  });

  it('keeps who left as left, also when they are edited afterwards', () => {
    const left = of('roster.removed', { id: 'mara' }, at(9));
    expect(person('mara', left)?.leftAtMs).toBe(at(9));
    expect(person('mara', left, edit({ age: 30 }))).toMatchObject({ leftAtMs: at(9), age: 30 });
  });

  it('is contradicted by who is there twice, and by changing or removing who is not there', () => {
    const twice = having(joined('mara', at(9)));
    expect(twice.clashes).toEqual([{ what: 'same-person-twice', seq: twice.seq, person: 'mara' }]);
    expect(twice.people.map((p) => p.id)).toEqual(['mara', 'jonas']);
    const left = of('roster.removed', { id: 'mara' });
    for (const post of [of('roster.removed', { id: 'eva' }), edit({}, 'eva')]) {
      const state = having(post);
      expect(state.clashes).toEqual([{ what: 'no-such-person', seq: state.seq, person: 'eva' }]);
    }
    expect(whats(left, left)).toEqual(['no-such-person']);
  });

  it('gives back the pitches kept for who leads no more, and no other', () => {
    const kept = [
      of('lead.assigned', { pitch: 2, leader: 'mara' }),
      of('lead.assigned', { pitch: 3, leader: 'jonas' }),
    ];
    const assigned = (...posts: Post[]) => [...having(...kept, ...posts).assigned.keys()];
    expect(assigned(edit({ phone: '1' }))).toEqual([2, 3]);
    expect(assigned(edit({ leads: false }))).toEqual([3]);
    expect(assigned(edit({ roles: ['ground'] }))).toEqual([3]);
    expect(assigned(of('roster.removed', { id: 'mara' }))).toEqual([3]);
  });
});

describe('the topo', () => {
  const numbers = (...posts: Post[]) => having(...posts).pitches.map((p) => [p.number, p.lengthM]);
  const set = (number: number, lengthM: number) =>
    of('topo.set', { pitch: pitchOf(number, { lengthM }) });

  it('is laid anew, changed pitch by pitch, and grows at its end only', () => {
    const two = of('topo.loaded', { pitches: [pitchOf(1), pitchOf(2)] });
    expect(numbers(two, set(2, 40), set(3, 50))).toEqual([
      [1, 30],
      [2, 40],
      [3, 50],
    ]);
    const gap = having(two, set(4, 40));
    expect(gap.pitches).toHaveLength(2);
    expect(gap.clashes).toEqual([{ what: 'no-such-pitch', seq: gap.seq, pitch: 4 }]);
  });

  it('loses its last pitch only, and the link into it', () => {
    const link = of('lead.linked', { first: 5 });
    const off = having(link, of('lead.linked', { first: 3 }), of('topo.removed', { number: 6 }));
    expect(off.pitches).toHaveLength(5);
    expect([...off.links]).toEqual([3]);
    const middle = having(link, of('topo.removed', { number: 5 }));
    expect(middle.pitches).toHaveLength(6);
    expect([...middle.links]).toEqual([5]);
    expect(middle.clashes).toEqual([{ what: 'no-such-pitch', seq: middle.seq, pitch: 5 }]);
  });
});

describe('leads', () => {
  it('are ordered, kept for somebody, swapped, given back, linked and unlinked', () => {
    const order = { rule: 'block', n: 2, people: ['jonas'] };
    expect(having(of('lead.ordered', order)).order).toEqual(order);
    const swap = of('lead.swapped', { a: 2, b: 3, leaderA: 'mara', leaderB: 'jonas' });
    const keep = of('lead.assigned', { pitch: 5, leader: 'mara' });
    const state = having(keep, { ...swap, by: 'greta' }, of('lead.linked', { first: 4 }));
    expect([...state.assigned]).toEqual([
      [5, { leader: 'mara', how: 'assigned', by: 'mara' }],
      [2, { leader: 'jonas', how: 'swapped', by: 'greta' }],
      [3, { leader: 'mara', how: 'swapped', by: 'greta' }],
    ]);
    expect([...state.links]).toEqual([4]);
    const back = having(
      keep,
      of('lead.cleared', { pitch: 5 }),
      of('lead.linked', { first: 4 }),
      of('lead.unlinked', { first: 4 }),
    );
    expect(back.assigned.size + back.links.size + back.clashes.length).toBe(0);
  });

  it('that are not linked can’t be unlinked', () => {
    const state = having(of('lead.unlinked', { first: 4 }));
    expect(state.clashes).toEqual([{ what: 'no-such-link', seq: state.seq, pitch: 4 }]);
  });
});

describe('marks on a pitch', () => {
  it('say who, when, told by whom and when', () => {
    const state = having({ ...done(1, at(7), 'jonas'), toldMs: at(8), by: 'greta', id: 'd1' });
    expect(state.pitches[0]?.done).toEqual({
      atMs: at(7),
      recordedAtMs: at(8),
      eventId: 'd1',
      seq: state.seq,
      by: { id: 'local:greta', name: 'greta' },
      leader: 'jonas',
    });
    expect(having(fixed(1, at(7))).pitches[0]?.fixed).not.toHaveProperty('leader');
    expect(having(started(1, at(7))).pitches[0]?.started?.atMs).toBe(at(7));
  });

  it('told twice: the first telling holds, the second is named as the contradiction', () => {
    for (const again of [at(6), at(9)]) {
      const state = having(done(1, at(7)), done(1, again));
      expect(state.pitches[0]?.done?.atMs).toBe(at(7));
      expect(state.clashes).toMatchObject([
        { what: 'told-twice', seq: state.seq, pitch: 1, mark: 'done', first: { atMs: at(7) } },
      ]);
    }
  });

  it('off the topo are a contradiction', () => {
    const state = having(started(7, at(7)));
    expect(state.clashes).toEqual([
      { what: 'no-such-pitch', seq: state.seq, pitch: 7, mark: 'started' },
    ]);
  });

  it('a break ends when it is told of', () => {
    const rest = { ...of('pitch.break', { pitch: 2, minutes: 20 }, at(9)), id: 'b1' };
    expect(having(rest).breaks).toEqual([
      { pitch: 2, fromMs: at(9) - 20 * MINUTE, toMs: at(9), eventId: 'b1' },
    ]);
  });
});
