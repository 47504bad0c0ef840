import { describe, expect, it } from 'vitest';
import { forecast } from '../../../src/forecast/forecast.ts';
import { ASCENTS } from '../../../src/forecast/input.ts';
import type { ForecastInput, ForecastPitch } from '../../../src/forecast/model.ts';
import { runs } from '../../helpers/long.ts';
import { at, days, MIN_MS, route, trip } from '../fixture.ts';
import { observe, type RefObservation, refBelief } from './pace.ts';
import { reference } from './random.ts';
import { prepare, type RefAscent, type RefStart, refAscent } from './simulate.ts';
import { type RefLeg, refLegs, setting } from './stages.ts';

const REFERENCE_ASCENTS = runs(1500, 40_000);
/** Five standard errors: about a hundred and fifty comparisons are made here, none of them to fail by chance. */
const ERRORS = 5;

function refAscents(input: ForecastInput, start: RefStart, seen: RefObservation[]): RefAscent[] {
  const legs = refLegs(input);
  const posterior = refBelief(input, seen);
  const random = reference(99);
  prepare(input, legs, posterior, random);
  const out: RefAscent[] = [];
  while (out.length < REFERENCE_ASCENTS) {
    const ascent = refAscent(input, legs, posterior, start, random);
    if (ascent) out.push(ascent);
  }
  return out;
}

/** What the forecast's own ascents, as many as an everyday forecast draws, may move a chance by. */
const NOISE = 0.005;

/**
 * Agreement within Monte Carlo error: the share of reference ascents up to the forecast's p-quantile is
 * p, give or take the binomial error of the reference. `model` is the share allowed on top, for the one
 * place where the forecast replaces a sum by a lognormal.
 */
function agree(quantile: number, p: number, values: number[], model = NOISE): void {
  const share = values.filter((v) => v <= quantile).length / values.length;
  const error = Math.sqrt((p * (1 - p)) / values.length);
  expect(Math.abs(share - p), `p ${p}: share ${share}`).toBeLessThan(ERRORS * error + model);
}

interface Case {
  name: string;
  input: ForecastInput;
  start: RefStart;
  seen: (legs: RefLeg[], input: ForecastInput) => RefObservation[];
  model?: number;
}

function told(pitches: ForecastPitch[], actual: Record<number, ForecastPitch['actual']>) {
  return pitches.map((p) => {
    const own = actual[p.number];
    return own ? { ...p, actual: own } : p;
  });
}

const none = (): RefObservation[] => [];
const boats = Array.from({ length: 6 }, (_, d) => [
  { atMs: at(d, 9), last: false },
  { atMs: at(d, 14), last: false },
  { atMs: at(d, 18, 40), last: true },
]).flat();

const threeDone = {
  1: { startedAtMs: at(0, 7), fixedAtMs: at(0, 7, 50), doneAtMs: at(0, 8, 30) },
  2: { doneAtMs: at(0, 11, 45) },
  3: { fixedAtMs: at(0, 12, 50), doneAtMs: at(0, 13, 40), breakMin: 15, breakLeadMin: 15 },
};

const threeSeen: Case['seen'] = ([one, two, three], input) => [
  observe(input, [one as RefLeg], 'untilFixed', 50),
  observe(input, [one as RefLeg], 'afterFixed', 40),
  observe(input, [two as RefLeg], 'whole', 195),
  observe(input, [three as RefLeg], 'untilFixed', 50),
  observe(input, [three as RefLeg], 'afterFixed', 50),
];

const work = (min: number) => ({ eveningMin: min, morningMin: min });

/** Rain by the hour from one moment to another. */
const hours = (fromMs: number, ...chances: number[]): NonNullable<ForecastInput['rain']> =>
  chances.map((chance, h) => ({
    fromMs: fromMs + h * 3_600_000,
    toMs: fromMs + (h + 1) * 3_600_000,
    chance,
  }));

const cases: Case[] = [
  {
    name: 'rain that is told for one afternoon as a whole, and by the hour for the next',
    input: trip({
      rain: [
        { fromMs: at(0, 14), toMs: at(0, 17), chance: 0.4 },
        ...hours(at(1, 12), 0.1, 0.3, 0.5, 0.5, 0.2),
      ],
      wetHours: 24,
    }),
    start: { leg: 0, atMs: at(0, 7) },
    seen: none,
  },
  {
    name: 'rain on rock that needs no hold, a pitch under way',
    input: trip({
      nowMs: at(0, 14, 50),
      departed: true,
      pitches: told(route(10), threeDone),
      rain: hours(at(0, 14), 0.2, 0.4, 0.6, 0.4),
    }),
    start: { leg: 3, atMs: at(0, 13, 40), under: 'whole' },
    seen: threeSeen,
    model: 0.02,
  },
  {
    name: 'a planned night on a portaledge, one on a bare stance, and one on top',
    input: trip({
      plan: {
        nights: [
          { pitch: 4, day: 0, ...work(105) },
          { pitch: 7, day: 1, ...work(15) },
          { pitch: 10, day: 2, ...work(60) },
        ],
      },
      departures: boats,
    }),
    start: { leg: 0, atMs: at(0, 7) },
    seen: none,
  },
  {
    name: 'portaledge stances and no portaledge, from the afternoon, much rest',
    input: trip({
      nowMs: at(0, 15),
      departed: true,
      portaledgePlaces: 0,
      plannedStartMs: at(0, 15),
      pitches: route(12, 99),
      days: days(9),
      settings: { leastRestMin: 540, pushMaxMin: 120 },
    }),
    start: { leg: 0, atMs: at(0, 15), under: 'whole' },
    seen: none,
    model: 0.02,
  },
  {
    name: 'at the planned ledge by noon, the next pitch to be fixed in the evening',
    input: trip({
      nowMs: at(0, 12),
      departed: true,
      pitches: told(route(10, 99), { 1: { startedAtMs: at(0, 10), doneAtMs: at(0, 12) } }).map(
        (p): ForecastPitch => ({ ...p, bivy: { kind: 'ledge' } }),
      ),
      plan: { nights: [{ pitch: 1, day: 0, ...work(60) }] },
      fixTonight: true,
    }),
    start: { leg: 1, atMs: at(0, 12) },
    seen: ([one], input) => [observe(input, [one as RefLeg], 'whole', 120)],
  },
  {
    name: 'late at a ledge where nobody has posted a night yet',
    input: trip({
      nowMs: at(0, 23, 30),
      departed: true,
      pitches: told(route(10, 99), { 1: { startedAtMs: at(0, 22), doneAtMs: at(0, 23, 30) } }).map(
        (p): ForecastPitch => ({ ...p, bivy: { kind: 'ledge' } }),
      ),
    }),
    start: { leg: 1, atMs: at(0, 23, 30) },
    // All of it in the dark.
    seen: ([one], input) => [
      observe(input, [one as RefLeg], 'whole', 90 / setting(input, 'darkFactor')),
    ],
  },
  {
    name: 'all day in the rain on a bare stance since before the hour of leaving, and nothing said of it',
    input: trip({
      nowMs: at(1, 16),
      departed: true,
      pitches: told(route(10, 99), { 1: { startedAtMs: at(0, 18), doneAtMs: at(0, 20, 30) } }),
      pauses: [{ fromMs: at(1, 5), toMs: at(1, 16) }],
      holdUntilMs: at(2, 16),
    }),
    // Nobody has set off: the night before them is spent where they are.
    start: { leg: 1, atMs: at(0, 20, 30) },
    seen: ([one], input) => [observe(input, [one as RefLeg], 'whole', 150)],
  },
  {
    name: 'the rain is over at noon, and they climb on from then',
    input: trip({
      nowMs: at(1, 12, 40),
      departed: true,
      pitches: told(route(10, 99), { 1: { startedAtMs: at(0, 18), doneAtMs: at(0, 20, 30) } }),
      pauses: [{ fromMs: at(1, 5), toMs: at(1, 12) }],
    }),
    start: { leg: 1, atMs: at(1, 12), under: 'whole' },
    seen: ([one], input) => [observe(input, [one as RefLeg], 'whole', 150)],
    model: 0.02,
  },
  {
    name: 'two, before the start, with a haul bag and a timetable',
    input: trip({ departures: boats, walkOut: { km: 9, upM: 100, downM: 500 } }),
    start: { leg: 0, atMs: at(0, 7) },
    seen: none,
  },
  {
    name: 'an efficient party that may start late',
    input: trip({ party: 'efficient', settings: { startSpreadMin: 45 } }),
    start: { leg: 0, atMs: at(0, 7) },
    seen: none,
  },
  {
    name: 'a party that says it is average, three pitches done quickly',
    input: trip({
      party: 'average',
      nowMs: at(0, 9, 15),
      departed: true,
      pitches: told(route(12, 99), {
        1: { startedAtMs: at(0, 7), doneAtMs: at(0, 7, 25) },
        2: { doneAtMs: at(0, 8, 20) },
        3: { doneAtMs: at(0, 9, 15) },
      }),
    }),
    start: { leg: 3, atMs: at(0, 9, 15) },
    seen: (legs, input) =>
      [25, 55, 55].map((min, k) => observe(input, [legs[k] as RefLeg], 'whole', min)),
  },
  {
    name: 'a party on its first wall, slow on three and long on the fourth',
    input: trip({
      party: 'first',
      nowMs: at(0, 15, 30),
      departed: true,
      pitches: told(route(12, 99), {
        1: { startedAtMs: at(0, 7), doneAtMs: at(0, 9) },
        2: { doneAtMs: at(0, 10, 30) },
        3: { doneAtMs: at(0, 13) },
      }),
    }),
    start: { leg: 3, atMs: at(0, 13), under: 'whole' },
    seen: (legs, input) =>
      [120, 90, 150].map((min, k) => observe(input, [legs[k] as RefLeg], 'whole', min)),
    model: 0.02,
  },
  {
    name: 'three, no bag, all free, a ledge too small for them',
    input: trip({
      partySize: 3,
      haulBag: false,
      climbers: ['mara', 'jonas', 'ines'].map((id) => ({ id, name: id })),
      pitches: route(16, 99, 3).map((p): ForecastPitch => {
        return p.number === 6 ? { ...p, bivy: { kind: 'ledge', places: 2 } } : p;
      }),
      days: days(7),
    }),
    start: { leg: 0, atMs: at(0, 7) },
    seen: none,
  },
  {
    name: 'four with a heavy bag and links, a hold till noon',
    input: trip({
      partySize: 4,
      bagKg: 75,
      holdUntilMs: at(0, 12),
      pitches: route(9, 4).map((p) => ({ ...p, linkedToNext: p.number === 3 || p.number === 7 })),
      days: days(7),
    }),
    start: { leg: 0, atMs: at(0, 7) },
    seen: none,
  },
  {
    name: 'pace learnt from starts, fixed lines and completions; next pitch just begun',
    input: trip({
      nowMs: at(0, 13, 40),
      departed: true,
      pitches: told(route(10), threeDone),
    }),
    start: { leg: 3, atMs: at(0, 13, 40) },
    seen: threeSeen,
  },
  {
    name: 'a pitch under way longer than usual',
    input: trip({
      nowMs: at(0, 14, 50),
      departed: true,
      pitches: told(route(10), threeDone),
    }),
    start: { leg: 3, atMs: at(0, 13, 40), under: 'whole' },
    seen: threeSeen,
    model: 0.02,
  },
  {
    name: 'the line fixed, the second on the way up, dusk near',
    input: trip({
      nowMs: at(0, 20, 55),
      departed: true,
      pitches: told(route(10), {
        1: { startedAtMs: at(0, 18), doneAtMs: at(0, 19) },
        2: { fixedAtMs: at(0, 20, 30) },
      }),
    }),
    start: { leg: 1, atMs: at(0, 20, 30), under: 'afterFixed' },
    seen: ([one, two], input) => [
      observe(input, [one as RefLeg], 'whole', 60),
      observe(input, [two as RefLeg], 'untilFixed', 90),
    ],
    model: 0.02,
  },
  {
    name: 'two pitches nobody posted, taken together',
    input: trip({
      nowMs: at(0, 15),
      departed: true,
      pitches: told(route(10), {
        1: { startedAtMs: at(0, 7), doneAtMs: at(0, 8, 10) },
        4: { doneAtMs: at(0, 15) },
      }),
    }),
    start: { leg: 4, atMs: at(0, 15) },
    seen: ([one, two, three, four], input) => [
      observe(input, [one as RefLeg], 'whole', 70),
      observe(input, [two, three, four] as RefLeg[], 'whole', 410),
    ],
  },
];

describe('the forecast against a slow reference that shares no code with it', () => {
  it.each(cases)(
    '$name',
    ({ input: given, start, seen, model }) => {
      // Heavy tails: the slowest of so many ascents take long.
      const input = { ...given, days: days(20) };
      const legs = refLegs(input);
      const slow = refAscents(input, start, seen(legs, input));
      const fast = forecast({ ...input, ascents: ASCENTS });
      expect(fast.unfinished).toBe(0);
      const check = (q: { q10: number; q50: number; q90: number }, values: number[]): void => {
        agree(q.q10, 0.1, values, model);
        agree(q.q50, 0.5, values, model);
        agree(q.q90, 0.9, values, model);
      };
      legs.forEach((leg, k) => {
        if (k < start.leg) return;
        const number = input.pitches[leg.pitches.at(-1) as number]?.number;
        const found = fast.checkpoints.find((c) => c.pitch === number);
        check(
          found?.done as never,
          slow.map((a) => a.doneMs[k] as number),
        );
      });
      check(
        fast.topout,
        slow.map((a) => a.topoutMs),
      );
      check(
        fast.trailhead,
        slow.map((a) => a.trailheadMs),
      );
      const exposed = slow.filter((a) => a.exposed).length / slow.length;
      // The reference's own error is 0.009.
      expect(Math.abs(fast.exposedNight - exposed)).toBeLessThan(0.03);
      if (fast.rain) {
        const first = (a: RefAscent) =>
          Math.min(...a.rains.map((r) => Math.max(r.fromMs, input.nowMs)));
        const dry = slow.filter((a) => a.topoutMs < first(a)).length / slow.length;
        expect(Math.abs(fast.rain.dryTop - dry)).toBeLessThan(0.03);
        // Caught: rain begins between their first move on the wall, or now, and the top.
        const isOn = start.leg > 0 || start.under !== undefined;
        const caught = slow.filter((a) => {
          const onMs = isOn ? input.nowMs : (a.beginMs[0] as number);
          const begins = a.rains.map((r) => Math.max(r.fromMs, input.nowMs));
          return begins.some((ms) => ms >= onMs && ms < a.topoutMs);
        });
        expect(Math.abs(fast.rain.caught - caught.length / slow.length)).toBeLessThan(0.03);
      }
      if (fast.shuttle) {
        const walked = slow.filter((a) => a.onFoot).length / slow.length;
        expect(Math.abs(fast.shuttle.chanceWalk - walked)).toBeLessThan(0.03);
        expect(Math.abs((fast.boarding?.q50 ?? 0) - median(slow))).toBeLessThan(15 * MIN_MS);
      }
    },
    120_000,
  );
});

function median(slow: RefAscent[]): number {
  const sorted = slow.map((a) => a.boardMs).sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] as number;
}
