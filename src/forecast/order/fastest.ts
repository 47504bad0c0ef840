import { allowedLeaders, type Demand, demandsOf, type OrderProblem } from './problem.ts';

export interface Order {
  leaders: number[];
  /** Minutes of the whole route, changeovers included. */
  totalMin: number;
}

export type FastestOrder =
  | {
      ok: true;
      order: Order;
      /** The order it is held against: as given, else swing leads. Undefined when nobody can swing on. */
      against?: Order;
      /** Minutes won over `against`; negative where the demands cost more than the order wins. */
      gainMin?: number;
    }
  | {
      ok: false;
      /** Demands that can't all be met; leave out any one of them and the rest can. */
      conflict: Demand[];
    };

/** The way so far: cheapest of all ways with the same leader, run and leads. */
interface Node {
  costMin: number;
  leader: number;
  run: number;
  /** Leads of each climber, up to the count beyond which it makes no difference. */
  leads: number[];
  previous?: Node;
}

/**
 * The fastest lead order, exactly, by dynamic programming over (pitch, leader, run length, leads so
 * far). Of equal orders it takes the one whose earlier pitches go to climbers earlier on the roster.
 *
 * @param against leaders of another order to compare with, instead of swing leads
 */
export function fastestOrder(problem: OrderProblem, against?: readonly number[]): FastestOrder {
  const demands = demandsOf(problem);
  const order = solve(problem, demands);
  if (!order) return { ok: false, conflict: conflictOf(problem, demands) };
  const leaders = against ?? swingLeaders(problem);
  const totalMin = leaders && orderMinutes(problem, leaders);
  if (!leaders || totalMin === undefined) return { ok: true, order };
  const other = { leaders: [...leaders], totalMin };
  return { ok: true, order, against: other, gainMin: totalMin - order.totalMin };
}

/** Minutes of a route under given leaders; undefined when one of them can't lead that pitch. */
export function orderMinutes(
  problem: OrderProblem,
  leaders: readonly number[],
): number | undefined {
  let total = 0;
  let last = problem.before?.leader;
  for (const [pitch, row] of problem.minutes.entries()) {
    const leader = leaders[pitch];
    const min = leader === undefined ? undefined : row[leader];
    if (min === undefined) return undefined;
    total += min + changeover(problem, last, leader);
    last = leader;
  }
  return total;
}

/** Swing leads: the next on the roster after the last leader, passing over who can't lead the pitch. */
export function swingLeaders(problem: OrderProblem): number[] | undefined {
  const climbers = problem.minutes[0]?.length ?? 0;
  const leaders: number[] = [];
  let last = problem.before?.leader ?? -1;
  for (const row of problem.minutes) {
    const turns = Array.from({ length: climbers }, (_, n) => (last + 1 + n) % climbers);
    const next = turns.find((climber) => row[climber] !== undefined);
    if (next === undefined) return undefined;
    leaders.push(next);
    last = next;
  }
  return leaders;
}

function changeover(problem: OrderProblem, last: number | undefined, next: number | undefined) {
  if (last === undefined) return 0;
  return last === next ? problem.changeoverMin.block : problem.changeoverMin.swing;
}

/** Leads are counted up to where they still make a difference: the limit, or the least share if more. */
function leadCaps(climbers: number, demands: readonly Demand[]) {
  const most = Array.from({ length: climbers }, () => Number.POSITIVE_INFINITY);
  const least = Array.from({ length: climbers }, () => 0);
  let maxRun = Number.POSITIVE_INFINITY;
  for (const demand of demands) {
    if (demand.kind === 'most') most[demand.climber] = demand.leads;
    if (demand.kind === 'least') least[demand.climber] = demand.leads;
    if (demand.kind === 'rest') maxRun = demand.run;
  }
  const caps = most.map((max, climber) =>
    Math.max(Number.isFinite(max) ? max : 0, least[climber]!),
  );
  return { most, least, maxRun, caps };
}

function solve(problem: OrderProblem, demands: readonly Demand[]): Order | undefined {
  const climbers = problem.minutes[0]?.length ?? 0;
  const allowed = allowedLeaders(problem, demands);
  const { most, least, maxRun, caps } = leadCaps(climbers, demands);
  const { before } = problem;
  const start: Node = {
    costMin: 0,
    leader: before?.leader ?? -1,
    run: before?.run ?? 0,
    leads: caps.map((cap, climber) => Math.min(cap, before?.leads[climber] ?? 0)),
  };
  let layer = new Map<number, Node>([[0, start]]);
  for (const [pitch, row] of problem.minutes.entries()) {
    const next = new Map<number, Node>();
    for (const node of layer.values()) {
      for (const leader of allowed[pitch]!) {
        const run = node.leader === leader ? node.run + 1 : 1;
        if (run > maxRun || node.leads[leader]! >= most[leader]!) continue;
        const last = node.leader < 0 ? undefined : node.leader;
        const costMin = node.costMin + row[leader]! + changeover(problem, last, leader);
        const leads = [...node.leads];
        leads[leader] = Math.min(caps[leader]!, leads[leader]! + 1);
        // Without a demand for rest the run makes no difference, and ways that differ only in it merge.
        const keptRun = Number.isFinite(maxRun) ? run : 0;
        const key = keyOf(leads, caps, leader, keptRun, climbers);
        const known = next.get(key);
        if (!known || costMin < known.costMin) {
          next.set(key, { costMin, leader, run: keptRun, leads, previous: node });
        }
      }
    }
    layer = next;
  }
  let best: Node | undefined;
  for (const node of layer.values()) {
    const fair = node.leads.every((count, climber) => count >= least[climber]!);
    if (fair && (!best || node.costMin < best.costMin)) best = node;
  }
  return best && { leaders: unwind(best), totalMin: best.costMin };
}

function keyOf(leads: number[], caps: number[], leader: number, run: number, climbers: number) {
  let key = run * climbers + leader;
  for (const [climber, count] of leads.entries()) key = key * (caps[climber]! + 1) + count;
  return key;
}

function unwind(last: Node): number[] {
  const leaders: number[] = [];
  for (let node: Node | undefined = last; node?.previous; node = node.previous) {
    leaders.push(node.leader);
  }
  return leaders.reverse();
}

/**
 * Demands that can't all be met, none of them idle: each one in turn is left out for good when the
 * others still clash without it.
 */
function conflictOf(problem: OrderProblem, demands: readonly Demand[]): Demand[] {
  const shut = allowedLeaders(problem, []).findIndex((leaders) => leaders.length === 0);
  if (shut >= 0) return [{ kind: 'ceiling', pitch: shut }];
  let kept = [...demands];
  for (const demand of demands) {
    const without = kept.filter((other) => other !== demand);
    if (!solve(problem, without)) kept = without;
  }
  return kept;
}
