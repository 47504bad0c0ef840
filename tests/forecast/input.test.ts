import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { forecastInput, partySizeOf } from '../../src/forecast/input.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { parseAid } from '../../src/trip/aid.ts';
import { parseGrade } from '../../src/trip/grade.ts';
import {
  at,
  done,
  fixed,
  HOUR,
  joined,
  type Party,
  type Post,
  pitchOf,
  setUp,
  started,
  stateOf,
} from '../trip/build.ts';

/** The evening before, and some posts; read at a time of the 12th. */
function read(posts: readonly Post[], nowMs = at(12), party: Party = {}): ForecastInput {
  return forecastInput(stateOf([...setUp(party), ...posts]), nowMs);
}
const post = (kind: string, data: object, atMs = at(6)): Post => ({ kind, data, atMs });
const nights = (posts: readonly Post[]) => read(posts).plan?.nights.map((night) => night.pitch);
const settings = (patch: object) => post('trip.edited', { settings: patch });
const leadersOf = (input: ForecastInput) =>
  input.pitches.map((p) => input.climbers[p.leader]?.id ?? 'none');
const gapsOf = (input: ForecastInput) => input.pitches.map((p) => p.gapSteps);

describe('a horizon that is not flat', () => {
  const lit = (horizonMin: number) => {
    const place = post('trip.edited', { place: { lat: 62.3, lon: 6.8 } });
    const winter = at(12) - 180 * 24 * HOUR;
    const input = read([place, settings({ pace: { horizonMin } })], winter);
    return input.days.map(({ dawnMs = Number.NaN, duskMs = Number.NaN }) => ({ dawnMs, duskMs }));
  };

  it('makes it light later and dark earlier, by its minutes', () => {
    const [flat, gorge] = [lit(0), lit(45)];
    expect(flat[0]?.dawnMs).toBeGreaterThan(0);
    expect(gorge).toEqual(
      flat.map((d) => ({ dawnMs: d.dawnMs + 0.75 * HOUR, duskMs: d.duskMs - 0.75 * HOUR })),
    );
  });

  it('never makes a day without light', () => {
    for (const { dawnMs, duskMs } of lit(240)) expect(duskMs).toBeGreaterThan(dawnMs);
  });
});

describe('who leads', () => {
  it('is the rotation after overrides, and whoever was told', () => {
    const input = read([
      post('lead.assigned', { pitch: 2, leader: 'ines' }),
      post('lead.swapped', { a: 5, b: 6, leaderA: 'mara', leaderB: 'jonas' }),
      started(1, at(6), 'jonas'),
      done(1, at(7)),
    ]);
    expect(leadersOf(input)[0]).toBe('jonas');
    expect(leadersOf(input)[1]).toBe('ines');
    expect(leadersOf(input).slice(4)).toEqual(['jonas', 'mara']);
    expect(input.pitches[0]?.actual?.leader).toBe(
      input.climbers.findIndex((c) => c.id === 'jonas'),
    );
  });

  it('stays with somebody who led and has left', () => {
    const input = read([
      started(1, at(6), 'ines'),
      done(1, at(7), 'ines'),
      post('roster.removed', { id: 'ines' }, at(8)),
    ]);
    expect(leadersOf(input)[0]).toBe('ines');
    expect(input.partySize).toBe(2);
    expect(input.climbers.map((c) => c.id)).toEqual(['mara', 'jonas', 'ines']);
  });

  it('is the same for both ends of a link, and the link is one lead', () => {
    const input = read([post('lead.linked', { first: 3 })]);
    expect(input.pitches.map((p) => p.linkedToNext === true)).toEqual(
      [false, false, true, false, false, false], // 3 and 4
    );
    expect(leadersOf(input)[2]).toBe(leadersOf(input)[3]);
  });
});

describe('the gap to the leader’s ceiling', () => {
  const pitches = [
    pitchOf(1, { free: '6b' }),
    pitchOf(2, { free: '6b', aid: 'A2' }),
    pitchOf(3, { aid: 'A3' }),
    pitchOf(4),
  ];
  const climbers = [{ id: 'mara', free: '6c', aid: 'A2' }];

  it('counts steps of the free scale on free pitches, of the aid scale on aid', () => {
    const steps = (a: string, b: string) => (parseGrade(a)?.rank ?? 0) - (parseGrade(b)?.rank ?? 0);
    const input = read([], at(5), { pitches, climbers });
    expect(input.pitches.map((p) => p.mode)).toEqual(['free', 'aid', 'aid', 'free']);
    // French 6b, 6b+, 6c: two steps, each its own grade in the UIAA comparison table.
    expect(steps('6b', '6c')).toBe(-2);
    expect(gapsOf(input)).toEqual([-2, 0, 1, undefined]);
    expect(input.pitches[2]?.aidGrade).toBe(parseAid('A3')?.rank);
  });

  it('is unknown where either is', () => {
    expect(gapsOf(read([], at(5), { pitches, climbers: ['mara'] }))).toEqual(
      pitches.map(() => undefined),
    );
  });
});

describe('breaks', () => {
  const climb = [started(1, at(6)), fixed(1, at(7)), done(1, at(8))];
  const rest = (minutes: number, toMs: number) => post('pitch.break', { pitch: 1, minutes }, toMs);
  const told = (...posts: Post[]) => read([...climb, ...posts]).pitches[0]?.actual;

  it('count in all, and as far as they lie before the line was fixed', () => {
    expect(told()).not.toHaveProperty('breakMin');
    expect(told(rest(20, at(6, 50)))).toMatchObject({ breakMin: 20, breakLeadMin: 20 });
    expect(told(rest(20, at(7, 30)))).toMatchObject({ breakMin: 20, breakLeadMin: 0 });
    expect(told(rest(20, at(7, 5)))).toMatchObject({ breakMin: 20, breakLeadMin: 15 });
    expect(told(rest(10, at(6, 30)), rest(30, at(7, 45)))).toMatchObject({
      breakMin: 40,
      breakLeadMin: 10,
    });
  });
});

describe('nights', () => {
  const settle = (atMs: number, untilMs?: number) =>
    post('bivy.settled', { pitch: 2, ...(untilMs === undefined ? {} : { untilMs }) }, atMs);
  const two = [done(1, at(10)), done(2, at(18))];

  it('that are over are pauses; the one under way is where the party is', () => {
    const over = read([...two, settle(at(20)), post('bivy.left', {}, at(29))], at(30));
    // Nobody climbed from the stance on where they lay down: pitch 2 was done at 18:00.
    expect(over.pauses).toEqual([{ fromMs: at(18), toMs: at(29) }]);
    expect(over).not.toHaveProperty('settled');
    const under = read([...two, settle(at(20), at(29))], at(23));
    expect(under.pauses).toEqual([]);
    // Sat out: a quarter of an hour from getting up to the first move.
    expect(under.settled).toEqual({ sinceMs: at(18), untilMs: at(29, 15) });
  });

  it('last until the next start when no time was told, and until now when that is past', () => {
    expect(read([...two, settle(at(20))], at(23)).settled?.untilMs).toBe(at(24 + 6));
    expect(read([...two, settle(at(25))], at(26)).settled?.untilMs).toBe(at(24 + 6));
    expect(read([...two, settle(at(20), at(29))], at(31)).settled?.untilMs).toBe(at(31));
  });

  it('end the first day of climbing, the second and so on, also when one is past', () => {
    const plan = [post('bivy.planned', { pitch: 2 }), post('bivy.planned', { pitch: 4 })];
    const days = (posts: readonly Post[]) =>
      read(posts).plan?.nights.map((night) => [night.pitch, night.day]);
    expect(days(plan)).toEqual([
      [2, 0],
      [4, 1],
    ]);
    expect(days([...plan, started(3, at(19))])).toEqual([[4, 1]]);
  });

  it('begin a day later for who sleeps on the ground before the first pitch', () => {
    const plan = [post('bivy.planned', { pitch: 2 })];
    const left = post('trip.departed', {}, at(4));
    const ground = post('bivy.settled', { pitch: 0 }, at(20));
    expect(read([...plan, left, ground], at(21)).plan?.nights[0]?.day).toBe(1);
  });

  it('that are planned go along by pitch', () => {
    const plan = [post('bivy.planned', { pitch: 4 }), post('bivy.planned', { pitch: 2 })];
    expect(nights(plan)).toEqual([2, 4]);
    expect(nights([...plan, post('bivy.unplanned', { pitch: 4 })])).toEqual([2]);
  });

  it('are used up when slept in, being slept in, or passed', () => {
    const plan = [post('bivy.planned', { pitch: 2 }), post('bivy.planned', { pitch: 4 })];
    expect(nights([...plan, ...two])).toEqual([2, 4]);
    expect(nights([...plan, ...two, settle(at(20))])).toEqual([4]);
    expect(nights([...plan, ...two, settle(at(20)), post('bivy.left', {}, at(29))])).toEqual([4]);
    expect(nights([...plan, ...two, started(3, at(19))])).toEqual([4]);
  });

  it('bring the work of their bed along', () => {
    const bivys: Party = {
      pitches: [
        pitchOf(1),
        pitchOf(2, { bivy: 'portaledge' }),
        pitchOf(3, { bivy: 'ledge' }),
        pitchOf(4),
      ],
    };
    const plan = [1, 2, 3, 4].map((pitch) => post('bivy.planned', { pitch }));
    const evenings = (posts: Post[]) =>
      read(posts, at(5), bivys).plan?.nights.map((n) => [n.eveningMin, n.morningMin]);
    // On top there is ground to lie on.
    expect(evenings(plan)).toEqual([
      [15, 15],
      [105, 105],
      [60, 60],
      [60, 60],
    ]);
    expect(evenings([...plan, settings({ portaledgePlaces: 0 })])?.[1]).toEqual([15, 15]);
    expect(evenings([...plan, settings({ pace: { ledgeMorningMin: 30 } })])?.[2]).toEqual([60, 30]);
  });

  it('break a link', () => {
    const linked = (...posts: Post[]) =>
      read([post('lead.linked', { first: 3 }), ...posts]).pitches[2]?.linkedToNext;
    expect(linked()).toBe(true);
    expect(linked(post('bivy.planned', { pitch: 3 }))).toBeUndefined();
  });

  it('on top hold the way down until they are left', () => {
    const all = [1, 2, 3, 4, 5, 6].map((n) => done(n, at(9 + n)));
    const top = (nowMs: number, ...posts: Post[]) => read([...all, ...posts], nowMs);
    const night = post('bivy.settled', { pitch: 6 }, at(16));
    expect(top(at(20), night).settled?.untilMs).toBe(at(30));
    expect(top(at(31), night, post('bivy.left', {}, at(30))).descentFromMs).toBe(at(30));
  });
});

describe('the approach', () => {
  const left = post('trip.departed', {}, at(7));
  it('ends before the climb begins, and pitch 1 is learnt from there', () => {
    expect(read([left], at(8)).plannedStartMs).toBe(at(7));
    expect(read([left], at(8)).startUnsure).toBe(true);
    const known = [settings({ approachMin: 150 }), left];
    expect(read(known, at(8)).plannedStartMs).toBe(at(9, 30));
    expect(read(known, at(8))).not.toHaveProperty('startUnsure');
    expect(read([...known, done(1, at(11))], at(11)).plannedStartMs).toBe(at(9, 30));
    // Told when it was begun, or with an approach nobody knows, nothing is learnt from the departure.
    expect(read([...known, started(1, at(10))], at(11))).not.toHaveProperty('plannedStartMs');
    expect(read([left, done(1, at(11))], at(11))).not.toHaveProperty('plannedStartMs');
  });
});

describe('rain', () => {
  const rain = (from: number, to?: number): Post[] => [
    post('rain.started', {}, from),
    ...(to === undefined ? [] : [post('rain.stopped', {}, to)]),
  ];

  it('holds for the trip’s hours from its end; while it falls, from now', () => {
    expect(read(rain(at(8)), at(9)).holdUntilMs).toBe(at(9 + 24));
    expect(read(rain(at(8), at(10)), at(12)).holdUntilMs).toBe(at(10 + 24));
    expect(read([...rain(at(8), at(10)), settings({ wetHours: 48 })]).holdUntilMs).toBe(at(58));
    expect(read(rain(at(8), at(10)), at(35))).not.toHaveProperty('holdUntilMs');
    expect(read([...rain(at(8), at(10)), settings({ wetHours: 0 })])).not.toHaveProperty(
      'holdUntilMs',
    );
  });

  it('holds on while they wait, whichever ends later', () => {
    const wait = [
      post('trip.departed', {}, at(7)),
      post('wait.began', { why: 'other', untilMs: at(13) }, at(11)),
    ];
    expect(read([...rain(at(8), at(10)), ...wait], at(12)).holdUntilMs).toBe(at(34));
    expect(read([...rain(at(8)), ...wait], at(12)).holdUntilMs).toBe(at(12 + 24));
    const short = [...rain(at(8), at(10)), settings({ wetHours: 2 }), ...wait];
    expect(read(short, at(11, 30)).holdUntilMs).toBe(at(13));
  });

  it('and its hold are spans nobody climbed in', () => {
    expect(read(rain(at(8)), at(9)).pauses).toEqual([{ fromMs: at(8), toMs: at(9) }]);
    expect(read(rain(at(8), at(10)), at(12)).pauses).toEqual([
      { fromMs: at(8), toMs: at(10) },
      { fromMs: at(10), toMs: at(12) },
    ]);
    expect(read(rain(at(8), at(10)), at(40)).pauses?.[1]).toEqual({ fromMs: at(10), toMs: at(34) });
  });

  it('stops nobody who holds nothing, or who was told to have climbed on', () => {
    expect(read([...rain(at(8), at(10)), settings({ wetHours: 0 })]).pauses).toEqual([]);
    const climbed = read([...rain(at(8), at(10)), done(1, at(11))], at(12));
    expect(climbed.pauses).toEqual([{ fromMs: at(8), toMs: at(10) }]);
    expect(read([...rain(at(8), at(10)), done(1, at(9))], at(9, 30)).pauses).toEqual([]);
  });
});

describe('the days', () => {
  const oslo = (posts: Post[], nowMs: number) =>
    forecastInput(
      stateOf([
        post('trip.opened', {
          name: 'Harrow Tower',
          zone: 'Europe/Oslo',
          place: { lat: 62.3, lon: 6.8 },
          units: 'm',
          confidence: 0.9,
        }),
        post('topo.loaded', { pitches: [pitchOf(1), pitchOf(2)] }),
        ...posts,
      ]),
      nowMs,
    );

  it('start and stop by the wall’s clock over a clock change', () => {
    // Summer time in the EU begins on the last Sunday of March, 01:00 UTC (Directive 2000/84/EC).
    const spring = oslo([settings({ firstDay: '2031-03-29' })], Date.UTC(2031, 2, 28, 12));
    expect(spring.days.slice(0, 3).map((d) => new Date(d.startMs).toISOString())).toEqual([
      '2031-03-29T05:00:00.000Z',
      '2031-03-30T04:00:00.000Z',
      '2031-03-31T04:00:00.000Z',
    ]);
    const autumn = oslo([settings({ firstDay: '2031-10-25' })], Date.UTC(2031, 9, 24, 12));
    const [first, second] = autumn.days;
    expect(((second?.startMs ?? 0) - (first?.startMs ?? 0)) / HOUR).toBe(25);
    for (const day of [...spring.days, ...autumn.days]) {
      expect(day.stopMs - day.startMs).toBe(15 * HOUR);
      expect(day.dawnMs).toBeLessThan(day.duskMs ?? 0);
    }
  });

  it('begin on the day that was set, or today, or tomorrow when today’s start is long past', () => {
    const dayOne = (posts: Post[], nowMs: number) => read(posts, nowMs).days[0]?.startMs;
    expect(dayOne([settings({ firstDay: '2031-06-14' })], at(12))).toBe(at(48 + 6));
    expect(dayOne([], at(5))).toBe(at(6));
    expect(dayOne([], at(11))).toBe(at(6));
    expect(dayOne([], at(13))).toBe(at(24 + 6));
    expect(dayOne([done(1, at(9))], at(24 + 15))).toBe(at(6));
    expect(dayOne([post('trip.departed', {}, at(5))], at(24 + 15))).toBe(at(6));
  });

  it('have no light without a place, and reach well past now', () => {
    const late = read([done(1, at(9))], at(5 * 24));
    expect(late.days.every((d) => d.dawnMs === undefined)).toBe(true);
    expect(late.days.at(-1)?.startMs).toBeGreaterThan(at(5 * 24) + 7 * 24 * HOUR);
  });
});

describe('the start', () => {
  const start = (posts: Post[], nowMs: number) => read(posts, nowMs).plannedStartMs;
  it('is the day’s, or now when that is past, or the departure; nothing once begun', () => {
    expect(start([], at(4))).toBe(at(6));
    expect(start([], at(7, 30))).toBe(at(7, 30));
    expect(start([post('trip.departed', {}, at(6, 20))], at(8))).toBe(at(6, 20));
    expect(start([post('trip.departed', {}, at(4))], at(8))).toBe(at(6));
    expect(start([started(1, at(6))], at(8))).toBeUndefined();
  });

  it('says whether the party has left', () => {
    expect(read([]).departed).toBe(false);
    expect(read([post('trip.departed', {})]).departed).toBe(true);
    expect(read([fixed(1, at(6))]).departed).toBe(true);
  });
});

describe('the party', () => {
  it('is two while nobody is on the roster', () => {
    const nobody = stateOf(setUp({ climbers: [] }));
    expect(partySizeOf(nobody)).toBe(2);
    expect(forecastInput(nobody, at(5)).climbers).toHaveLength(1);
    expect(read([joined('bo', at(1))]).partySize).toBe(4);
  });

  it('keeps its own figures where they are usable', () => {
    const pace = { darkFactor: 2, 'leadFactor:mara': 0.8, fixMin: 9999, colour: 1 };
    expect(read([settings({ pace })]).settings).toEqual({ darkFactor: 2, 'leadFactor:mara': 0.8 });
  });
});

describe('same log, same clock', () => {
  it('reads the minute, not the second, and seeds by the trip', () => {
    const posts = [done(1, at(9))];
    expect(read(posts, at(12) + 59_000)).toEqual(read(posts, at(12)));
    expect(read(posts, at(12, 1)).nowMs).toBe(at(12, 1));
    const other = { ...stateOf(setUp({})), id: 'u' };
    expect(forecastInput(other, at(12)).seed).not.toBe(read([]).seed);
  });

  it('does not depend on the order of telling on the wall', () => {
    const wall = [
      started(1, at(6)),
      fixed(1, at(6, 30)),
      done(1, at(7)),
      started(2, at(7, 5)),
      post('rain.started', {}, at(8)),
      post('rain.stopped', {}, at(9)),
      post('bivy.settled', { pitch: 1 }, at(20)),
      post('bivy.left', {}, at(28)),
    ];
    const inOrder = read(wall, at(30));
    fc.assert(
      fc.property(fc.shuffledSubarray(wall, { minLength: wall.length }), (told) => {
        expect(read(told, at(30))).toEqual(inOrder);
      }),
      { numRuns: 40 },
    );
  });

  it('needs a topo', () => {
    expect(() => read([], at(12), { pitches: 0 })).toThrow('no pitches');
  });
});
