/** What the party does: one mode for every history and moment, each reachable, undone by a strike. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../src/trip/fact.ts';
import { fold } from '../../src/trip/fold.ts';
import { isPause, type ModeName, modeOf } from '../../src/trip/mode.ts';
import {
  amend,
  at,
  done,
  events,
  fixed,
  type Post,
  setUp,
  started,
  stateOf,
  strike,
} from './build.ts';
import { type Move, manyMoves, play, wallPost } from './random-posts.ts';

const ROUTE = setUp({ pitches: 3, climbers: ['mara', 'jonas'] });
const having = (...posts: Post[]) => stateOf([...ROUTE, ...posts]);
const of = (kind: string, atMs: number, data: object = {}): Post => ({ kind, atMs, data });
const LEFT = of('trip.departed', at(6));
const TOP = [done(1, at(7)), done(2, at(8)), done(3, at(9))];
const RETREAT = of('retreat.began', at(8), { pitch: 1 });
const rained = (to?: number) => [
  of('rain.started', at(7, 30)),
  ...(to === undefined ? [] : [of('rain.stopped', to)]),
];

describe('the mode', () => {
  it.each([
    ['nothing but a plan', [], 'preparing'],
    ['rain on a plan', rained(), 'preparing'],
    ['departed, nothing begun', [LEFT], 'going in'],
    ['the first pitch started', [LEFT, started(1, at(7))], 'climbing'],
    ['a pitch fixed by a party that never departed', [fixed(1, at(7))], 'climbing'],
    ['settled', [LEFT, done(1, at(7)), of('bivy.settled', at(8), { pitch: 1 })], 'settled'],
    ['a night at the foot', [of('bivy.settled', at(5), { pitch: 0 })], 'settled'],
    [
      'up again',
      [done(1, at(7)), of('bivy.settled', at(8), { pitch: 1 }), of('bivy.left', at(9))],
      'climbing',
    ],
    [
      'a line fixed from the ledge in the evening',
      [done(1, at(7)), of('bivy.settled', at(8), { pitch: 1 }), fixed(2, at(9))],
      'settled',
    ],
    [
      'a pitch done, and nobody told that the night was over',
      [done(1, at(7)), of('bivy.settled', at(8), { pitch: 1 }), done(2, at(9))],
      'climbing',
    ],
    ['rain at the wall', [LEFT, ...rained()], 'waiting'],
    [
      'the pitch under way finished in the rain',
      [done(1, at(7)), ...rained(), done(2, at(8))],
      'waiting',
    ],
    ['one begun in the rain', [done(1, at(7)), ...rained(), started(2, at(8))], 'climbing'],
    ['the hold after rain', [done(1, at(7)), ...rained(at(8))], 'waiting'],
    [
      'said to be dry',
      [done(1, at(7)), ...rained(at(8)), of('rain.dry', at(9), { said: 'the warden' })],
      'climbing',
    ],
    [
      'said to be dry before it rained again',
      [done(1, at(7)), of('rain.dry', at(7, 10), { said: 'x' }), ...rained(at(8))],
      'waiting',
    ],
    ['told to wait', [done(1, at(7)), of('wait.began', at(8), { why: 'other' })], 'waiting'],
    [
      'told to wait, then a mark',
      [done(1, at(7)), of('wait.began', at(8), { why: 'other' }), started(2, at(9))],
      'climbing',
    ],
    [
      'told that the wait is over',
      [done(1, at(7)), of('wait.began', at(8), { why: 'other' }), of('wait.ended', at(9))],
      'climbing',
    ],
    [
      'a wait that was to last until ten',
      [done(1, at(7)), of('wait.began', at(8), { why: 'weather', untilMs: at(10) })],
      'climbing',
    ],
    ['a retreat', [done(1, at(7)), RETREAT], 'retreating'],
    ['a retreat in the rain', [done(1, at(7)), ...rained(), RETREAT], 'retreating'],
    ['a night on the retreat', [RETREAT, of('bivy.settled', at(9), { pitch: 1 })], 'settled'],
    [
      'a rappel after that night',
      [
        RETREAT,
        of('bivy.settled', at(9), { pitch: 1 }),
        of('retreat.rappelled', at(10), { station: 0 }),
      ],
      'retreating',
    ],
    ['a retreat stopped', [done(1, at(7)), RETREAT, of('retreat.stopped', at(9))], 'climbing'],
    ['topped out', TOP, 'going down'],
    ['topped out, and rain', [...TOP, of('rain.started', at(10))], 'going down'],
    ['at the foot, without the last pitches told', [done(1, at(7)), foot(at(10))], 'going down'],
    ['at the foot by mistake, and climbing', [foot(at(6, 30)), done(1, at(7))], 'climbing'],
    ['down', [...TOP, of('trip.down', at(11))], 'down'],
    ['down from a retreat', [RETREAT, of('trip.down', at(11))], 'down'],
    ['closed', [of('trip.closed', at(12))], 'closed'],
  ] as [string, Post[], ModeName][])('%s', (_, posts, is) => {
    expect(modeOf(having(...posts), at(12)).is).toBe(is);
  });

  it('ends by the clock what ends by itself: a wait, and the hold 24 h after the rain', () => {
    const wait = having(LEFT, of('wait.began', at(8), { why: 'weather', untilMs: at(10) }));
    expect(modeOf(wait, at(10) - 1)).toEqual({
      ...{ is: 'waiting', why: 'weather', sinceMs: at(8), untilMs: at(10) },
    });
    expect(modeOf(wait, at(10)).is).toBe('going in');
    const wet = having(done(1, at(7)), ...rained(at(8)));
    expect(modeOf(wet, at(32) - 1)).toMatchObject({ why: 'wet rock', untilMs: at(32) });
    expect(modeOf(wet, at(32)).is).toBe('climbing');
  });

  it('says how far: the point of the way down, the night, the retreat', () => {
    expect(modeOf(having(...TOP, foot(at(11))), at(12))).toEqual({
      ...{ is: 'going down', sinceMs: at(9), point: 'foot', pointMs: at(11) },
    });
    expect(modeOf(having(RETREAT, foot(at(9))), at(12))).toMatchObject({
      retreat: { fromPitch: 1, sinceMs: at(8), rappels: [] },
      point: 'foot',
    });
  });

  it('pauses are those in which nobody is late for a pitch', () => {
    const pauses = (...posts: Post[]) => isPause(modeOf(having(...posts), at(12)));
    expect(pauses(RETREAT)).toBe(true);
    expect(pauses(LEFT, ...rained())).toBe(true);
    expect(pauses(of('bivy.settled', at(8), { pitch: 0 }))).toBe(true);
    for (const posts of [[], [LEFT], TOP, [done(1, at(7))]]) expect(pauses(...posts)).toBe(false);
  });
});

function foot(atMs: number): Post {
  return of('descent.reached', atMs, { point: 'foot' });
}

describe('whatever is told', () => {
  const many = fc.array(
    fc.oneof({ weight: 3, arbitrary: wallPost.map((post): Move => ({ post })) }),
    { maxLength: 40 },
  );
  /** The same by two ropes, of which the one behind is told of as well. */
  const roped = fc
    .tuple(
      many,
      fc.array(
        fc.record({ pitch: fc.integer({ min: 1, max: 6 }), hour: fc.integer({ min: 6, max: 13 }) }),
        {
          maxLength: 6,
        },
      ),
    )
    .map(([some, marks]): Move[] => [
      { post: of('lead.roped', at(5), { ropes: [['mara'], ['jonas', 'ines']] }) },
      ...some,
      ...marks.map(
        ({ pitch, hour }): Move => ({
          post: of('rope.done', at(hour), { rope: 2, pitch }),
        }),
      ),
    ]);
  const moves = fc.oneof(manyMoves, many, roped);
  const moment = fc.integer({ min: 0, max: 60 }).map((hour) => at(hour));
  const modeAt = (told: readonly Fact[], nowMs: number) => modeOf(fold('t', told), nowMs);

  it('there is exactly one mode: what each asks of the facts holds for that one alone', () => {
    fc.assert(
      fc.property(moves, moment, (some, nowMs) => {
        const state = fold('t', play(some));
        const mode = modeOf(state, nowMs);
        const marks = state.pitches.flatMap((p) => [p.started, p.fixed, p.done]).filter(Boolean);
        const open = state.closedAtMs === undefined && state.downAtMs === undefined;
        const asks: Record<ModeName, boolean> = {
          closed: state.closedAtMs !== undefined,
          down: state.closedAtMs === undefined && state.downAtMs !== undefined,
          settled: open && state.nights.some((n) => n.leftMs === undefined),
          preparing: open && state.departedAtMs === undefined && marks.length === 0,
          'going in': open && state.departedAtMs !== undefined && marks.length === 0,
          climbing:
            open &&
            (state.pitches.some((p) => p.done === undefined) ||
              state.ropeMarks.every((m) => m.pitch < state.pitches.length)),
          waiting: open && state.waits.length + state.rains.length > 0,
          retreating: open && state.retreats.some((r) => r.stoppedMs === undefined),
          'going down': open && (state.descent.length > 0 || state.pitches.every((p) => p.done)),
        };
        expect([mode.is, asks[mode.is]]).toEqual([mode.is, true]);
        if (!open) expect(['down', 'closed']).toContain(mode.is);
        const behind = state.ropeMarks.map((m) => m.pitch);
        if (mode.is === 'going down' && mode.point === undefined && behind.length > 0) {
          expect(Math.max(...behind)).toBe(state.pitches.length);
        }
        expect(modeOf(state, nowMs)).toEqual(mode);
      }),
    );
  });

  it('every mode is reached from wherever the party is, as long as the trip is open', () => {
    fc.assert(
      fc.property(many, (some) => {
        const told = play(some).filter((f) => f.kind !== 'trip.down');
        const then = (...posts: Post[]) =>
          modeAt([...told, ...events(posts, told.length)], at(20)).is;
        const state = fold('t', told);
        if (state.nights.at(-1)?.leftMs !== undefined || state.nights.length === 0) {
          expect(then(of('bivy.settled', at(19), { pitch: 0 }))).toBe('settled');
        }
        if (state.retreats.every((r) => r.stoppedMs !== undefined)) {
          expect(then(of('retreat.began', at(19), { pitch: 0 }))).toBe('retreating');
          expect(then(foot(at(19)))).toBe('going down');
        }
        expect(then(LEFT, foot(at(18)), of('wait.began', at(19), { why: 'other' }))).toBe(
          'waiting',
        );
        const next = state.pitches.find((p) => p.done === undefined)?.number;
        if (next !== undefined && next < state.pitches.length) {
          const ended = ['retreat.stopped', 'bivy.left', 'wait.ended', 'rain.stopped'];
          expect(then(...ended.map((kind) => of(kind, at(18))), done(next, at(19)))).toBe(
            'climbing',
          );
        }
        expect(then(of('trip.down', at(19)))).toBe('down');
        expect(then(of('trip.down', at(19)), of('trip.closed', at(19)))).toBe('closed');
      }),
    );
  });

  it('a strike undoes exactly, and an amended time is as if told so', () => {
    fc.assert(
      fc.property(moves, wallPost, moment, (some, post, nowMs) => {
        const told = play(some);
        const [made] = events([post], told.length) as [Fact];
        const after = [...told, made];
        const undone = [...after, ...events([strike(made.id)], after.length)];
        expect(modeAt(undone, nowMs)).toEqual(modeAt(told, nowMs));
        const moved = [...after, ...events([amend(made.id, { atMs: at(5) })], after.length)];
        const toldSo = [...told, { ...made, atMs: at(5) }];
        expect(modeAt(moved, nowMs)).toEqual(modeAt(toldSo, nowMs));
      }),
    );
  });
});
