import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { explainConflict } from '../../../src/forecast/order/explain.ts';
import { fastestOrder, orderMinutes, swingLeaders } from '../../../src/forecast/order/fastest.ts';
import { evenShares, type OrderProblem } from '../../../src/forecast/order/problem.ts';
import { runs } from '../../helpers/long.ts';

/** Every order there is, tried one after another: shares no code with the dynamic programme. */
function bruteForce(problem: OrderProblem): number | undefined {
  const n = problem.minutes.length;
  const m = problem.minutes[0]!.length;
  let best: number | undefined;
  for (let code = 0; code < m ** n; code++) {
    const leaders = Array.from({ length: n }, (_, i) => Math.floor(code / m ** i) % m);
    const total = cost(problem, leaders);
    if (total !== undefined && meets(problem, leaders) && (best === undefined || total < best)) {
      best = total;
    }
  }
  return best;
}

function cost(problem: OrderProblem, leaders: number[]): number | undefined {
  let total = 0;
  for (let i = 0; i < leaders.length; i++) {
    const min = problem.minutes[i]![leaders[i]!];
    if (min === undefined) return undefined;
    const before = i > 0 ? leaders[i - 1] : problem.before?.leader;
    const { block, swing } = problem.changeoverMin;
    total += min + (before === undefined ? 0 : before === leaders[i] ? block : swing);
  }
  return total;
}

function meets(problem: OrderProblem, leaders: number[]): boolean {
  const all = [
    ...Array.from({ length: problem.before?.run ?? 0 }, () => problem.before!.leader),
    ...leaders,
  ];
  const longest = Math.max(
    ...all.map((leader, i) => {
      let run = 1;
      while (all[i + run] === leader) run++;
      // A run that lies wholly before the first pitch is not this order's doing.
      return i + run > all.length - leaders.length ? run : 0;
    }),
  );
  if (longest > (problem.maxRun ?? Number.POSITIVE_INFINITY)) return false;
  for (const [climber, { min = 0, max = 99 }] of (problem.shares ?? []).entries()) {
    const now = leaders.filter((leader) => leader === climber).length;
    const led = (problem.before?.leads[climber] ?? 0) + now;
    if (led < min || (led > max && now > 0)) return false;
  }
  return leaders.every((leader, i) => {
    const wished = problem.wishedBy?.[i] ?? [];
    return (
      (wished.length === 0 || wished.includes(leader)) &&
      !problem.notWishedBy?.[i]?.includes(leader) &&
      (problem.pinned?.[i] ?? leader) === leader
    );
  });
}

function problemOf(n: number, m: number): fc.Arbitrary<OrderProblem> {
  const climber = fc.integer({ min: 0, max: m - 1 });
  const perPitch = <T>(value: fc.Arbitrary<T>) => fc.array(value, { minLength: n, maxLength: n });
  const rare = <T>(value: fc.Arbitrary<T>, freq: number) =>
    fc.option(value, { freq, nil: undefined });
  const cell = rare(fc.integer({ min: 20, max: 180 }), 5);
  return fc.record(
    {
      minutes: perPitch(fc.array(cell, { minLength: m, maxLength: m })),
      changeoverMin: fc.record({
        block: fc.integer({ min: 0, max: 25 }),
        swing: fc.integer({ min: 0, max: 25 }),
      }),
      shares: fc.array(
        fc.record(
          { min: fc.integer({ min: 0, max: 3 }), max: fc.integer({ min: 1, max: 6 }) },
          { requiredKeys: [] },
        ),
        { minLength: m, maxLength: m },
      ),
      wishedBy: perPitch(fc.oneof({ weight: 8, arbitrary: fc.constant([]) }, fc.array(climber))),
      notWishedBy: perPitch(
        fc.oneof({ weight: 8, arbitrary: fc.constant([]) }, fc.array(climber, { maxLength: 2 })),
      ),
      maxRun: fc.integer({ min: 1, max: 4 }),
      before: fc.record({
        leader: climber,
        run: fc.integer({ min: 1, max: 3 }),
        leads: fc.array(fc.integer({ min: 0, max: 3 }), { minLength: m, maxLength: m }),
      }),
    },
    { requiredKeys: ['minutes', 'changeoverMin'] },
  );
}

const SIZES = [1, 2, 3].flatMap((m) => [1, 2, 3, 4, 5, 6, 7, 8].map((n) => [n, m] as const));

describe.each(SIZES)('%d pitches, %d climbers', (n, m) => {
  it('finds what trying every order finds, and says so when there is none', () => {
    fc.assert(
      fc.property(problemOf(n, m), (problem) => {
        const found = fastestOrder(problem);
        const best = bruteForce(problem);
        expect(found.ok ? found.order.totalMin : undefined).toBe(best);
        if (!found.ok) return;
        expect(meets(problem, found.order.leaders)).toBe(true);
        expect(orderMinutes(problem, found.order.leaders)).toBe(found.order.totalMin);
      }),
      { numRuns: n * m > 18 ? runs(20, 200) : runs(100, 1000) },
    );
  });
});

describe('when nothing meets every demand', () => {
  it('names demands that clash, none of them idle', () => {
    fc.assert(
      fc.property(problemOf(5, 3), (problem) => {
        const found = fastestOrder(problem);
        if (found.ok || found.conflict[0]?.kind === 'ceiling') return;
        const only = (without?: unknown): OrderProblem => {
          const kept = found.conflict.filter((demand) => demand !== without);
          const at = (kind: string, pitch: number) =>
            kept.find((d) => d.kind === kind && 'pitch' in d && d.pitch === pitch);
          const list = (kind: string) =>
            problem.minutes.map((_, pitch) => {
              const demand = at(kind, pitch);
              return demand && 'climbers' in demand ? demand.climbers : undefined;
            });
          const share = (kind: 'least' | 'most', climber: number) => {
            const demand = kept.find((d) => d.kind === kind && d.climber === climber);
            return demand && 'leads' in demand ? demand.leads : undefined;
          };
          const rest = kept.find((d) => d.kind === 'rest');
          const shares = problem.minutes[0]!.map((_, climber) => {
            const [min, max] = [share('least', climber), share('most', climber)];
            return { ...(min === undefined ? {} : { min }), ...(max === undefined ? {} : { max }) };
          });
          return {
            minutes: problem.minutes,
            changeoverMin: problem.changeoverMin,
            wishedBy: list('wished'),
            notWishedBy: list('not-wished'),
            shares,
            ...(rest ? { maxRun: rest.run } : {}),
            ...(problem.before ? { before: problem.before } : {}),
          };
        };
        expect(found.conflict.length).toBeGreaterThan(0);
        expect(bruteForce(only())).toBeUndefined();
        for (const demand of found.conflict) expect(bruteForce(only(demand))).toBeDefined();
      }),
      { numRuns: runs(200, 4000) },
    );
  });

  const names = { climbers: ['Mara', 'Jonas', 'Ines'], pitchNumbers: [4, 5, 6] };
  const base: OrderProblem = {
    minutes: [
      [40, 50, 60],
      [40, undefined, 60],
      [40, 50, 60],
    ],
    changeoverMin: { block: 10, swing: 5 },
  };

  it.each([
    [
      {
        ...base,
        minutes: [
          [40, 50, 60],
          [undefined, undefined, undefined],
        ],
      },
      'Pitch 5 is harder than anybody leads. /roster edit changes what they lead, /topo edit the pitch.',
    ],
    [
      { ...base, wishedBy: [undefined, [1]] },
      "This can't be met: Jonas wished for pitch 5. Lift it for an order.",
    ],
    [
      { ...base, shares: [{ max: 0 }, {}, { max: 0 }] },
      "These can't all be met: at most 0 leads for Mara; at most 0 leads for Ines. Lift any one of them for an order.",
    ],
    [
      { ...base, pinned: [0, 0], maxRun: 1 },
      "These can't all be met: Mara assigned to pitch 4; Mara assigned to pitch 5; no more than 1 lead in a row. Lift any one of them for an order.",
    ],
    [
      { ...base, notWishedBy: [[0], [0, 2]] },
      "This can't be met: not Mara or Ines on pitch 5. Lift it for an order.",
    ],
    [
      { ...base, shares: [{}, { min: 3 }] },
      "This can't be met: at least 3 leads for Jonas. Lift it for an order.",
    ],
  ])('says it plainly (%#)', (problem, text) => {
    const found = fastestOrder(problem as OrderProblem);
    if (found.ok) throw new Error('expected a conflict');
    expect(explainConflict(found.conflict, names)).toBe(text);
  });
});

describe('held against swing leads', () => {
  it('swings by the roster and passes over who cannot lead', () => {
    const minutes = [
      [30, 40],
      [30, undefined],
      [30, 40],
    ];
    const problem = { minutes, changeoverMin: { block: 12, swing: 8 } };
    expect(swingLeaders(problem)).toEqual([0, 0, 1]);
    expect(fastestOrder(problem)).toEqual({
      ok: true,
      // Worked by hand: 30 + 12 + 30 + 12 + 30, and 30 + 12 + 30 + 8 + 40.
      order: { leaders: [0, 0, 0], totalMin: 114 },
      against: { leaders: [0, 0, 1], totalMin: 120 },
      gainMin: 6,
    });
    expect(fastestOrder(problem, [0, 0, 0])).toMatchObject({ gainMin: 0 });
  });

  it('never loses to swing when swing meets every demand, nor gains by one demand more', () => {
    fc.assert(
      fc.property(problemOf(6, 3), fc.integer({ min: 1, max: 3 }), (problem, maxRun) => {
        const free = fastestOrder({ ...problem, before: undefined } as unknown as OrderProblem);
        if (!free.ok) return;
        const against = free.against;
        if (against && meets({ ...problem, before: undefined } as never, against.leaders)) {
          expect(free.gainMin).toBeGreaterThanOrEqual(0);
        }
        const { before: _, ...loose } = problem;
        const rested = fastestOrder({ ...loose, maxRun: Math.min(maxRun, problem.maxRun ?? 9) });
        if (rested.ok) {
          expect(rested.order.totalMin).toBeGreaterThanOrEqual(free.order.totalMin);
        }
      }),
      { numRuns: runs(150, 3000) },
    );
  });

  it('has an order for no pitches, and one in time for four climbers on sixty', () => {
    const changeoverMin = { block: 10, swing: 8 };
    expect(fastestOrder({ minutes: [], changeoverMin })).toMatchObject({
      order: { leaders: [], totalMin: 0 },
    });
    const minutes = Array.from({ length: 60 }, (_, i) => [50, 60, 45 + (i % 20), 70]);
    const long = fastestOrder({ minutes, changeoverMin, shares: evenShares(60, 4, 2), maxRun: 4 });
    expect(long.ok && long.order.leaders).toHaveLength(60);
    const crowd = Array.from({ length: 60 }, () => Array.from({ length: 12 }, () => 30));
    const shares = evenShares(60, 12, 3);
    expect(() => fastestOrder({ minutes: crowd, changeoverMin, shares })).toThrow(RangeError);
  });

  it('makes even shares give or take one', () => {
    expect(evenShares(14, 3)).toEqual(Array.from({ length: 3 }, () => ({ min: 3, max: 6 })));
    expect(evenShares(2, 3)[0]).toEqual({ min: 0, max: 2 });
  });
});
