import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { forecastInput } from '../../../src/forecast/input.ts';
import { admit } from '../../../src/trip/admit.ts';
import { openCutoffs, outcomeOf } from '../../../src/trip/cutoffs.ts';
import type { Fact } from '../../../src/trip/fact.ts';
import { fold, folded } from '../../../src/trip/fold.ts';
import type { TripState } from '../../../src/trip/state.ts';
import { at, done, events, MINUTE, NOW_MS, type Post, setUp, strike } from '../../trip/build.ts';

/** What the forecast is planned by, as random posts that meet: few pitches, few ids, few times. */
const pitch = fc.integer({ min: 1, max: 4 });
const time = fc.integer({ min: 0, max: 40 }).map((half) => at(6, half * 30));
const post = (kind: string, data: fc.Arbitrary<object>): fc.Arbitrary<Post> =>
  fc.record({ atMs: time, data }).map((p) => ({ kind, ...p }));
const cutoff = fc.record({
  id: fc.constantFrom('1', '2', '3'),
  kind: fc.constantFrom('dark', 'permit', 'weather', 'own', 'shuttle'),
  label: fc.constantFrom('Front', 'Dark', 'Supper'),
  target: fc.oneof(
    fc.constantFrom('topout', 'down', 'trailhead'),
    pitch.map((n) => ({ pitch: n })),
  ),
  atMs: time,
});
const checkpoint = fc.record({ pitch, plannedMs: time, latestMs: time });
const shuttle = fc.constantFrom(7, 12, 18).map((hour) => ({
  name: 'boat',
  timetable: {
    zone: 'UTC',
    clock: 'wall',
    label: `at ${hour}`,
    services: [
      {
        weekdays: [1, 2, 3, 4, 5, 6, 7],
        times: [hour * 3600],
        headways: [],
        added: [],
        removed: [],
      },
    ],
  },
}));
const planned: fc.Arbitrary<Post> = fc.oneof(
  post('cutoff.added', cutoff),
  post(
    'cutoff.removed',
    cutoff.map(({ id }) => ({ id })),
  ),
  post(
    'bivy.planned',
    pitch.map((n) => ({ pitch: n })),
  ),
  post(
    'bivy.unplanned',
    pitch.map((n) => ({ pitch: n })),
  ),
  post('plan.start', fc.record({ day: pitch, start: fc.constantFrom('05:30', 'shuttle') })),
  post('plan.chosen', fc.record({ pitch, way: fc.constantFrom('stay', 'on', 'fix', 'dark') })),
  post(
    'schedule.set',
    fc.record({
      checkpoints: fc.array(checkpoint, { minLength: 1, maxLength: 4 }),
      confidence: fc.constantFrom(0.5, 0.9),
    }),
  ),
  post('shuttle.set', shuttle),
  post('shuttle.removed', fc.constant({})),
);
const happened: fc.Arbitrary<Post> = fc.oneof(
  post('rain.started', fc.constant({})),
  post('rain.stopped', fc.constant({})),
  post(
    'bivy.settled',
    pitch.map((n) => ({ pitch: n })),
  ),
  post('bivy.left', fc.constant({})),
  pitch.chain((n) => time.map((ms) => done(n, ms))),
);
const posts = fc.array(fc.oneof(planned, happened), { minLength: 1, maxLength: 14 });

/** What a trip amounts to, without the record of how it was told. */
function plain(state: TripState) {
  const { entries: _entries, seq: _seq, watch, pitches, ...rest } = state;
  const { signs: _signs, ...watched } = watch;
  const marks = pitches.map(({ started, fixed, done: d, ...p }) => ({
    ...p,
    marks: [started?.atMs, fixed?.atMs, d?.atMs],
  }));
  return { ...rest, watched, marks };
}

/** Plays posts one by one; those the rules refuse are left out. */
function play(all: readonly Post[]): Fact[] {
  let history = events(setUp({ pitches: 4 }));
  for (const one of all) {
    const fresh = events([{ ...one, toldMs: NOW_MS }], history.length);
    if (admit(folded('t', history), fresh, NOW_MS).ok) history = [...history, ...fresh];
  }
  return history;
}

describe('plans, nights and rain, told in any order', () => {
  it('a strike undoes exactly, and striking the strike brings it back', () => {
    let struck = 0;
    fc.assert(
      fc.property(posts, (all) => {
        const history = play(all);
        const last = history.at(-1) as Fact;
        const before = fold('t', history.slice(0, -1));
        const gone = events([{ ...strike(last.id), toldMs: NOW_MS }], history.length);
        const without = admit(folded('t', history), gone, NOW_MS);
        // The newest post can always be taken back: nothing stands on it.
        if (last.kind === 'trip.opened' || last.kind === 'roster.added') return;
        if (!without.ok) throw new Error(`${last.kind}: ${without.no.text}`);
        expect(plain(without.value.after.state)).toEqual(plain(before));
        const [strikeEvent] = gone as [Fact];
        const back = events([{ ...strike(strikeEvent.id), toldMs: NOW_MS }], history.length + 1);
        const again = admit(without.value.after, back, NOW_MS);
        if (!again.ok) throw new Error(again.no.text);
        expect(plain(again.value.after.state)).toEqual(plain(fold('t', history)));
        struck++;
      }),
      { numRuns: 150 },
    );
    expect(struck).toBeGreaterThan(75);
  });

  it('what is planned and what happens don’t depend on how they are interleaved', () => {
    const both = fc.tuple(
      fc.array(planned, { maxLength: 7 }),
      fc.array(happened, { maxLength: 7 }),
      fc.array(fc.boolean(), { minLength: 14, maxLength: 14 }),
    );
    fc.assert(
      fc.property(both, ([plan, wall, turns]) => {
        const apart = fold('t', events([...setUp({ pitches: 4 }), ...plan, ...wall]));
        const mixed: Post[] = [];
        const [p, q] = [[...plan], [...wall]];
        for (const turn of turns) {
          const next = (turn ? p : q).shift() ?? (turn ? q : p).shift();
          if (next !== undefined) mixed.push(next);
        }
        const together = fold('t', events([...setUp({ pitches: 4 }), ...mixed]));
        const without = (s: TripState) => {
          const { clashes, schedule, ...rest } = plain(s);
          const { seq: _seq, ...frozen } = schedule ?? { seq: 0 };
          return { ...rest, frozen, clashes: clashes.map((c) => c.what).sort() };
        };
        expect(without(together)).toEqual(without(apart));
      }),
      { numRuns: 150 },
    );
  });

  it('always fold to a trip that can be forecast, with rain and nights in order', () => {
    fc.assert(
      fc.property(posts, time, (all, nowMs) => {
        const state = fold('t', play(all));
        const input = forecastInput(state, nowMs);
        for (const span of input.pauses ?? []) expect(span.toMs).toBeGreaterThan(span.fromMs);
        for (const { fromMs, toMs } of state.rains) {
          expect(toMs ?? fromMs).toBeGreaterThanOrEqual(fromMs);
        }
        const ends = state.nights.slice(0, -1).map((n) => n.leftMs);
        expect(ends.every((ms) => ms !== undefined)).toBe(true);
        expect(state.bivyPlan).toEqual([...new Set(state.bivyPlan)].sort((a, b) => a - b));
        expect(input.holdUntilMs ?? nowMs).toBeGreaterThanOrEqual(nowMs - MINUTE);
      }),
      { numRuns: 150 },
    );
  });
});

describe('what becomes of a cutoff', () => {
  it('is decided once, by what happened or by its time, and only then', () => {
    fc.assert(
      fc.property(posts, time, (all, nowMs) => {
        const state = fold('t', play(all));
        for (const c of state.cutoffs) {
          const outcome = outcomeOf(state, c, nowMs);
          if (outcome.is === 'open') {
            expect(c.atMs).toBeGreaterThanOrEqual(nowMs);
          } else if (outcome.reachedMs === undefined) {
            expect([outcome.is, c.atMs < nowMs]).toEqual(['missed', true]);
          } else {
            expect(outcome.is).toBe(outcome.reachedMs <= c.atMs ? 'met' : 'missed');
          }
        }
        const open = openCutoffs(state, nowMs).map((c) => c.id);
        expect(forecastInput(state, nowMs).cutoffs.map((c) => c.id)).toEqual(open);
        // Later never opens one again.
        for (const c of openCutoffs(state, nowMs + 60 * MINUTE)) expect(open).toContain(c.id);
      }),
      { numRuns: 150 },
    );
  });
});
