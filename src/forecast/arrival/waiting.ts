import { goOnLimit, type NightRules, pushScale } from '../nights.ts';
import { placeAt, type WorkAxis } from './arrival.ts';
import { addAt, isEmpty, type ProbabilityMass, takeBetween, within } from './mass.ts';
import { type Ranks, shareSlower } from './ranks.ts';

/** Where the party may be: those who have had a bed every night, and those who haven't. */
export interface Whereabouts {
  rested: ProbabilityMass;
  exposed: ProbabilityMass;
}

/** Days and hours on the grid. */
export interface Hours {
  rules: NightRules;
  line: WorkAxis;
  /** Where each day's climbing begins. */
  startPlace: Float64Array;
}

/** Days and hours on a grid. */
export function hoursOn(rules: NightRules, line: WorkAxis): Hours {
  return { rules, line, startPlace: rules.startMin.map((min) => placeIn(line, min)) };
}

/** Where a moment lies on the grid; what lies off it, at its end. */
export function placeIn(line: WorkAxis, atMin: number): number {
  return within(line.grid, placeAt(line, atMin));
}

/** One of the paces: against the expected one, and which it is. */
export interface PacePoint {
  scale: number;
  ranks: Ranks;
  index: number;
}

/** The share of a pace's parties that wait where those slower than `scale` do. */
export function waiting({ ranks, index }: PacePoint, scale: number): number {
  if (scale === 0) return 1;
  return scale === Number.POSITIVE_INFINITY ? 0 : shareSlower(ranks, index, Math.log(scale));
}

/** Up to where those ready on a day go on at once, and the share of later ones that waits. */
function ruleOf(h: Hours, k: number, d: number, pace: PacePoint): { limit: number; waits: number } {
  const { rules, line } = h;
  if (d < 0) return { limit: -1, waits: 1 };
  if (rules.refuge[k] === 1) {
    return { limit: placeIn(line, goOnLimit(rules, k, d, pace.scale)), waits: 1 };
  }
  const waits = waiting(pace, pushScale(rules, k));
  return { limit: placeIn(line, rules.stopMin[d] as number), waits };
}

/**
 * The rule of the night at the stance before leg `k`: whoever is ready too late waits there for the
 * next day's start (`nights.ts`). Returns the chance, if any, of an exposed night after which no day is left.
 */
export function waitForDay(h: Hours, at: Whereabouts, k: number, pace: PacePoint): number {
  const { startPlace, rules } = h;
  const { rested, exposed } = at;
  const days = startPlace.length;
  const low = Math.min(...[rested, exposed].filter((s) => !isEmpty(s)).map((s) => s.low));
  const high = Math.max(rested.high, exposed.high);
  let exposedForGood = 0;
  // Put where they wait only when every day has been asked: nobody is asked twice at one stance.
  const waiters: { to: ProbabilityMass; place: number; chance: number }[] = [];
  for (let d = -1; d < days; d++) {
    const next = d + 1 < days ? (startPlace[d + 1] as number) : h.line.grid.count;
    if (next < low - 1) continue;
    if (d >= 0 && (startPlace[d] as number) > high) break;
    const { limit, waits } = ruleOf(h, k, d, pace);
    if (limit >= next || waits === 0) continue;
    const late = takeBetween(rested, limit, next, waits);
    const lateExposed = takeBetween(exposed, limit, next, waits);
    const inTheOpen = d >= 0 && rules.refuge[k] === 0;
    const nowExposed = lateExposed + (inTheOpen ? late : 0);
    if (d + 1 === days) exposedForGood += nowExposed;
    else {
      if (late > 0 && !inTheOpen) waiters.push({ to: rested, place: next, chance: late });
      if (nowExposed > 0) waiters.push({ to: exposed, place: next, chance: nowExposed });
    }
  }
  for (const { to, place, chance } of waiters) addAt(to, place, chance);
  return exposedForGood;
}
