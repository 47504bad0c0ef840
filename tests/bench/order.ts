import { performance } from 'node:perf_hooks';
import { fastestOrder, orderMinutes } from '../../src/forecast/order/fastest.ts';
import { evenShares, type OrderProblem } from '../../src/forecast/order/problem.ts';

export interface Figure {
  name: string;
  value: number;
  unit: string;
  against?: string;
}

/** Numbers that are the same in every run. */
function numbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

function route(pitches: number, climbers: number, seed: number): OrderProblem {
  const next = numbers(seed);
  return {
    minutes: Array.from({ length: pitches }, () =>
      Array.from({ length: climbers }, (_, climber) =>
        // The first climber can lead everything, so that there always is an order.
        climber > 0 && next() < 0.15 ? undefined : Math.round(30 + next() * 120),
      ),
    ),
    changeoverMin: { block: 12, swing: 8 },
    shares: evenShares(pitches, climbers, 2),
    maxRun: 4,
  };
}

function medianMs(runs: number, work: () => void): number {
  const times = Array.from({ length: runs }, () => {
    const start = performance.now();
    work();
    return performance.now() - start;
  });
  return times.sort((a, b) => a - b)[Math.floor(runs / 2)]!;
}

/** Every order of a route, for a route short enough. */
function tryAll(problem: OrderProblem): number {
  const [n, m] = [problem.minutes.length, problem.minutes[0]!.length];
  let best = Number.POSITIVE_INFINITY;
  for (let code = 0; code < m ** n; code++) {
    let rest = code;
    const leaders = Array.from({ length: n }, () => {
      const leader = rest % m;
      rest = Math.floor(rest / m);
      return leader;
    });
    best = Math.min(best, orderMinutes(problem, leaders) ?? best);
  }
  return best;
}

/** How long the fastest lead order takes to find, and how that grows with the route. */
export async function* benchOrder(): AsyncGenerator<Figure> {
  for (const [pitches, climbers] of [
    [15, 2],
    [15, 3],
    [30, 3],
    [30, 4],
  ] as const) {
    const problem = route(pitches, climbers, 7);
    const value = medianMs(9, () => fastestOrder(problem));
    yield { name: `order_${pitches}_pitches_${climbers}_climbers`, value, unit: 'ms' };
  }
  const clash = { ...route(30, 3, 7), shares: [{ max: 2 }, { max: 2 }, { max: 2 }] };
  const value = medianMs(5, () => fastestOrder(clash));
  yield { name: 'order_30_pitches_conflict_named', value, unit: 'ms' };

  const short: OrderProblem = { ...route(8, 3, 7), shares: [] };
  const ratio = medianMs(5, () => tryAll(short)) / medianMs(5, () => fastestOrder(short));
  const against = 'trying all 6,561 orders of 8 pitches, without demands';
  yield { name: 'order_8_pitches_speedup', value: ratio, unit: 'x', against };
}
