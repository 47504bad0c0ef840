import { allowedLeaders, type Demand, demandsOf, type OrderProblem } from './problem.ts';
import { changeoverMin, type Order, solve } from './solve.ts';

/** An order of leads with its total time. */
export type { Order } from './solve.ts';

/** The fastest order, or the demands that rule out every order. */
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

/**
 * The fastest lead order, exactly, by dynamic programming over (pitch, leader, run length, leads so
 * far). Of several equally fast orders it is always the same one.
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
    total += min + changeoverMin(problem, last, leader!);
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
