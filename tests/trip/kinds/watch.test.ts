/** What the entries about silence do to the state of the trip. */
import { describe, expect, it } from 'vitest';
import { at, type Post, setUp, stateOf } from '../build.ts';

const ROUTE = setUp({ climbers: ['mara'] });
const of = (kind: string, data: object = {}, atMs = at(8), more: Partial<Post> = {}): Post => ({
  kind: `watch.${kind}`,
  data,
  atMs,
  ...more,
});
const having = (...posts: Post[]) => {
  const state = stateOf([...ROUTE, ...posts]);
  return { ...state.watch, seq: state.seq };
};
const MARA = { id: 'local:mara', name: 'mara' };

describe('what was agreed', () => {
  it('a promise, by its entry’s own name, with what it was about', () => {
    const [one, two] = having(
      of('promised', { dueMs: 5 }, at(8), { id: 'p1' }),
      of('promised', { dueMs: 6, about: 'ledge' }, at(8), { id: 'p2' }),
    ).promises;
    expect(one).toEqual({ id: 'p1', seq: ROUTE.length + 1, dueMs: 5, by: MARA });
    expect(two).toMatchObject({ id: 'p2', dueMs: 6, about: 'ledge' });
  });

  it('a nightly check-in, since it was promised', () => {
    const { nightly, seq } = having(of('nightly', { clock: '21:00' }, at(9)));
    expect(nightly).toEqual({ clock: '21:00', sinceMs: at(9), seq });
    const none = having(of('nightly', { clock: '21:00' }), of('nightly', { clock: null }));
    expect(none).not.toHaveProperty('nightly');
  });

  it('times, one by one: those not named stay, null takes one away', () => {
    const { plan, planSet, seq } = having(
      of('planned', { topoutMs: 1, downMs: 2, calloutMs: 3 }),
      of('planned', { topoutMs: null, downMs: 4 }, at(9), { by: 'greta' }),
    );
    expect(plan).toEqual({ downMs: 4, calloutMs: 3 });
    expect(planSet).toEqual({
      topoutMs: { atMs: at(9), seq, by: 'greta' },
      downMs: { atMs: at(9), seq, by: 'greta' },
      calloutMs: { atMs: at(8), seq: seq - 1, by: 'mara' },
    });
  });

  it('every change of a time is remembered: from what, to what, by whom; a first or equal one is none', () => {
    const { moved, seq } = having(
      of('planned', { topoutMs: 1, downMs: 2 }),
      of('planned', { topoutMs: 1, downMs: 4 }, at(9), { by: 'greta' }),
      of('planned', { downMs: null }, at(10)),
    );
    expect(moved).toEqual([
      { what: 'downMs', fromMs: 2, toMs: 4, atMs: at(9), seq: seq - 1, by: 'greta' },
      { what: 'downMs', fromMs: 4, atMs: at(10), seq, by: 'mara' },
    ]);
  });

  it('delays of the trip: 30, 120 and 45 minutes unless said otherwise, and null goes back to them', () => {
    expect(having().delays).toEqual({ uncertaintyMin: 30, alertMin: 120, handMin: 45 });
    const set = of('delays', { uncertaintyMin: 10, alertMin: 20 });
    expect(having(set, of('delays', { alertMin: 25 })).delays).toEqual({
      uncertaintyMin: 10,
      alertMin: 25,
      handMin: 45,
    });
    expect(having(set, of('delays', { uncertaintyMin: null, alertMin: null })).delays).toEqual({
      uncertaintyMin: 30,
      alertMin: 120,
      handMin: 45,
    });
  });

  it('delays of one contact leave those of the trip and of others alone', () => {
    const dana = (data: object) => of('delays', { person: 'dana', ...data });
    const { delays, delaysOf } = having(
      dana({ uncertaintyMin: 5 }),
      dana({ alertMin: 15 }),
      of('delays', { person: 'pal', alertMin: 60 }),
    );
    expect(delays).toEqual({ uncertaintyMin: 30, alertMin: 120, handMin: 45 });
    expect([...delaysOf]).toEqual([
      ['dana', { uncertaintyMin: 5, alertMin: 15 }],
      ['pal', { alertMin: 60 }],
    ]);
    const back = having(dana({ uncertaintyMin: 5, alertMin: 15 }), dana({ alertMin: null }));
    expect(back.delaysOf.get('dana')).toEqual({ uncertaintyMin: 5 });
  });
});

describe('what came of it', () => {
  it('a phase that was told: of what, to whom, when, and that it was late', () => {
    const data = { phase: 'alert', root: 'down', dueMs: 5, to: ['dana'] };
    const outage = { fromMs: 1, toMs: 2 };
    const { raised, seq } = having(of('raised', data), of('raised', { ...data, outage }, at(9)));
    expect(raised).toEqual([
      { ...data, seq: seq - 1, atMs: at(8) },
      { ...data, seq, atMs: at(9), outage },
    ]);
  });

  it('who took it in hand, and who called', () => {
    const { acks, called, seq } = having(
      of('acked', { person: 'dana' }),
      of('called'),
      of('called', { words: 'they set off' }, at(9)),
    );
    expect(acks).toEqual([{ seq: seq - 2, atMs: at(8), person: 'dana' }]);
    expect(called).toEqual([
      { seq: seq - 1, atMs: at(8), by: MARA },
      { seq, atMs: at(9), by: MARA, words: 'they set off' },
    ]);
  });

  it('a drill is acknowledged once, the newest one of that person', () => {
    const drill = (to: string) => of('drill', { to });
    const { drills } = having(
      drill('dana'),
      drill('dana'),
      drill('pal'),
      of('drilled', { to: 'dana' }, at(9)),
      of('drilled', { to: 'dana' }, at(10)),
      of('drilled', { to: 'nobody' }, at(11)),
    );
    expect(drills.map((d) => [d.to, d.ackedAtMs])).toEqual([
      ['dana', undefined],
      ['dana', at(9)],
      ['pal', undefined],
    ]);
    expect(drills[0]).toEqual({ seq: ROUTE.length + 1, atMs: at(8), to: 'dana' });
  });

  it('who could not be reached, of which alarm, and who was told instead', () => {
    const { unreached, seq } = having(
      of('unreached', { person: 'dana', why: 'gone' }),
      of('unreached', { person: 'dana', why: 'gone', raised: 7, next: 'pal' }),
    );
    expect(unreached).toEqual([
      { seq: seq - 1, atMs: at(8), person: 'dana', why: 'gone' },
      { seq, atMs: at(8), person: 'dana', why: 'gone', raised: 7, next: 'pal' },
    ]);
  });

  it('what a rescuer would ask, field by field, and who opened the sheet', () => {
    const { details, opened, seq } = having(
      of('details', { vehicle: 'red van', gear: 'orange' }),
      of('details', { vehicle: 'blue van', gear: null }),
      of('sheet', { as: 'print' }, at(9), { by: 'dana' }),
    );
    expect(details).toEqual({ vehicle: 'blue van' });
    expect(opened).toEqual([{ seq, atMs: at(9), by: 'dana', as: 'print' }]);
  });
});
