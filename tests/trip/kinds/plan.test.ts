/** What nights, rain, cutoffs, schedules and timetables do to the state of the trip. */
import { describe, expect, it } from 'vitest';
import { at, type Post, setUp, stateOf } from '../build.ts';

const ROUTE = setUp({ climbers: ['mara', 'jonas'] });
const having = (...posts: Post[]) => stateOf([...ROUTE, ...posts]);
const of = (kind: string, data: object = {}, atMs = at(8)): Post => ({ kind, data, atMs });
const whats = (...posts: Post[]) => having(...posts).clashes.map((c) => c.what);

describe('nights, rain, cutoffs, schedule and shuttle', () => {
  it('nights are planned once each, in order, and unplanned', () => {
    const plan = (...some: number[]) => some.map((pitch) => of('bivy.planned', { pitch }));
    expect(having(...plan(5, 2, 5)).bivyPlan).toEqual([2, 5]);
    expect(having(...plan(5, 2, 11), of('bivy.unplanned', { pitch: 5 })).bivyPlan).toEqual([2, 11]);
  });

  it('a night begins once and ends once', () => {
    const settle = (atMs: number, data: object = {}) =>
      of('bivy.settled', { pitch: 2, ...data }, atMs);
    const leave = (atMs: number) => of('bivy.left', {}, atMs);
    expect(
      having(settle(at(20), { untilMs: at(30) }), leave(at(31)), settle(at(44))).nights,
    ).toEqual([
      { pitch: 2, sinceMs: at(20), untilMs: at(30), leftMs: at(31) },
      { pitch: 2, sinceMs: at(44) },
    ]);
    const twice = having(settle(at(20)), settle(at(21)));
    expect(twice.nights).toHaveLength(1);
    expect(twice.clashes).toEqual([{ what: 'settled-twice', seq: twice.seq }]);
    const never = having(leave(at(7)));
    expect(never.clashes).toEqual([{ what: 'not-settled', seq: never.seq }]);
    const left = having(settle(at(20)), leave(at(30)), leave(at(31)));
    expect(left.nights[0]?.leftMs).toBe(at(30));
    expect(left.clashes).toEqual([{ what: 'not-settled', seq: left.seq }]);
  });

  it('rain begins once and ends once', () => {
    const rain = (atMs: number) => of('rain.started', {}, atMs);
    const stop = (atMs: number) => of('rain.stopped', {}, atMs);
    expect(having(rain(at(7)), stop(at(8)), rain(at(9))).rains).toEqual([
      { fromMs: at(7), toMs: at(8) },
      { fromMs: at(9) },
    ]);
    const twice = having(rain(at(7)), rain(at(8)));
    expect(twice.rains).toEqual([{ fromMs: at(7) }]);
    expect(twice.clashes).toEqual([{ what: 'rain-twice', seq: twice.seq }]);
    expect(whats(stop(at(8)))).toEqual(['not-raining']);
    const ended = having(rain(at(7)), stop(at(8)), stop(at(9)));
    expect(ended.rains).toEqual([{ fromMs: at(7), toMs: at(8) }]);
    expect(ended.clashes).toEqual([{ what: 'not-raining', seq: ended.seq }]);
  });

  it('a cutoff told again under its name takes the place of the old one', () => {
    const cutoff = (id: string, atMs: number) =>
      of('cutoff.added', { id, kind: 'own', label: id, target: 'down', atMs });
    const state = having(cutoff('a', 1), cutoff('b', 2), cutoff('a', 3));
    expect(state.cutoffs.map((c) => [c.id, c.atMs])).toEqual([
      ['b', 2],
      ['a', 3],
    ]);
    const one = having(cutoff('a', 1), cutoff('b', 2), of('cutoff.removed', { id: 'a' }));
    expect(one.cutoffs.map((c) => c.id)).toEqual(['b']);
    expect(one.clashes).toEqual([]);
    const none = having(cutoff('a', 1), of('cutoff.removed', { id: 'x' }));
    expect(none.clashes).toEqual([{ what: 'no-such-cutoff', seq: none.seq }]);
  });

  it('the newest schedule and the newest timetable hold', () => {
    const data = { checkpoints: [{ pitch: 1, plannedMs: 5 }], confidence: 0.9 };
    const state = having(of('schedule.set', data, at(6)), of('schedule.set', data, at(7)));
    expect(state.schedule).toEqual({ ...data, setAtMs: at(7), seq: state.seq });
    const boat = of('shuttle.set', { name: 'boat' });
    expect(having(boat).shuttle).toEqual({ name: 'boat' });
    expect(having(boat, of('shuttle.removed'))).not.toHaveProperty('shuttle');
  });
});
