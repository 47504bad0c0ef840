import { allowedLeaders, type Demand, type OrderProblem } from './problem.ts';

/** An order of leads, and what it takes in all. */
export interface Order {
  leaders: number[];
  /** Minutes of the whole route, changeovers included. */
  totalMin: number;
}

/** More states than a party of four on sixty pitches has. */
const MAX_STATES = 16_000_000;

/**
 * States of one pitch as whole numbers: the leads of each climber so far, then who led it, then how
 * many in a row.
 */
interface States {
  climbers: number;
  /** Runs told apart; 1 where nobody asks for rest, because then the run makes no difference. */
  runs: number;
  /** What one lead more of a climber adds to a state. */
  leadStep: number[];
  /** Leads of a climber are counted up to here, where they stop making a difference. */
  caps: number[];
  size: number;
  most: number[];
  least: number[];
  maxRun: number;
}

/**
 * Cheapest order under the ceilings and the demands given, or undefined when there is none. Dynamic
 * programming: pitch by pitch, only the cheapest way to each state is kept (Bellman 1957).
 *
 * @throws RangeError for more climbers and pitches than fit in memory; four climbers always do
 */
export function solve(problem: OrderProblem, demands: readonly Demand[]): Order | undefined {
  if (problem.minutes.length === 0) return { leaders: [], totalMin: 0 };
  const states = statesOf(problem, demands);
  const { climbers, runs, leadStep, caps } = states;
  const allowed = allowedLeaders(problem, demands);
  let cost = new Float64Array(states.size).fill(Number.POSITIVE_INFINITY);
  let nextCost = cost.slice();
  const layers: { states: number[]; from: Int32Array }[] = [];
  const from = new Int32Array(states.size);
  let reached: number[] = [];
  for (const [pitch, row] of problem.minutes.entries()) {
    const found: number[] = [];
    const step = (state: number, base: number, last: number, run: number, leads: number) => {
      for (const leader of allowed[pitch]!) {
        const count = Math.floor(leads / leadStep[leader]!) % (caps[leader]! + 1);
        const nextRun = last === leader ? run + 1 : 1;
        if (count >= states.most[leader]! || nextRun > states.maxRun) continue;
        const nextLeads = count < caps[leader]! ? leads + leadStep[leader]! : leads;
        const next = (nextLeads * climbers + leader) * runs + (runs === 1 ? 0 : nextRun - 1);
        const min = base + row[leader]! + changeoverMin(problem, last, leader);
        if (min >= nextCost[next]!) continue;
        if (nextCost[next] === Number.POSITIVE_INFINITY) found.push(next);
        nextCost[next] = min;
        from[next] = state;
      }
    };
    if (pitch === 0) {
      const { before } = problem;
      const leads = caps.map((cap, c) => Math.min(cap, before?.leads[c] ?? 0) * leadStep[c]!);
      const sum = leads.reduce((total, each) => total + each, 0);
      step(-1, 0, before?.leader ?? -1, before?.run ?? 0, sum);
    }
    for (const state of reached) {
      const base = cost[state]!;
      cost[state] = Number.POSITIVE_INFINITY;
      const lead = Math.floor(state / runs);
      step(state, base, lead % climbers, (state % runs) + 1, Math.floor(lead / climbers));
    }
    [cost, nextCost] = [nextCost, cost];
    layers.push({ states: found, from: Int32Array.from(found, (state) => from[state]!) });
    reached = found;
  }
  return best(states, layers, reached, cost);
}

/** Minutes of the changeover before a pitch; none before the first one of a route. */
export function changeoverMin(
  problem: OrderProblem,
  last: number | undefined,
  next: number,
): number {
  if (last === undefined || last < 0) return 0;
  return last === next ? problem.changeoverMin.block : problem.changeoverMin.swing;
}

function statesOf(problem: OrderProblem, demands: readonly Demand[]): States {
  const climbers = problem.minutes[0]?.length ?? 0;
  const most = Array.from({ length: climbers }, () => Number.POSITIVE_INFINITY);
  const least = Array.from({ length: climbers }, () => 0);
  let maxRun = Number.POSITIVE_INFINITY;
  for (const demand of demands) {
    if (demand.kind === 'most') most[demand.climber] = demand.leads;
    if (demand.kind === 'least') least[demand.climber] = demand.leads;
    if (demand.kind === 'rest') maxRun = demand.run;
  }
  const caps = most.map((max, c) => Math.max(Number.isFinite(max) ? max : 0, least[c]!));
  const leadStep: number[] = [];
  let counts = 1;
  for (const cap of caps) {
    leadStep.push(counts);
    counts *= cap + 1;
  }
  const runs = Number.isFinite(maxRun) ? Math.max(1, maxRun) : 1;
  const size = counts * climbers * runs;
  if (size > MAX_STATES) throw new RangeError('too many climbers and pitches for an exact order');
  return { climbers, runs, leadStep, caps, size, most, least, maxRun };
}

function best(
  { climbers, runs, leadStep, caps, least }: States,
  layers: readonly { states: number[]; from: Int32Array }[],
  reached: readonly number[],
  cost: Float64Array,
): Order | undefined {
  const fair = (state: number) =>
    caps.every((cap, climber) => {
      const leads = Math.floor(state / runs / climbers);
      return Math.floor(leads / leadStep[climber]!) % (cap + 1) >= least[climber]!;
    });
  let last: number | undefined;
  for (const state of reached) {
    if (fair(state) && (last === undefined || cost[state]! < cost[last]!)) last = state;
  }
  if (last === undefined) return undefined;
  const leaders: number[] = [];
  let state = last;
  for (const layer of [...layers].reverse()) {
    leaders.push(Math.floor(state / runs) % climbers);
    state = layer.from[layer.states.indexOf(state)]!;
  }
  return { leaders: leaders.reverse(), totalMin: cost[last]! };
}
