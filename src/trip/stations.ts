import { lengthDownM, type RappelReach, rappelReach } from './ropes.ts';
import { pitchAt, type TripState } from './state.ts';

/** One rappel of a way down. */
export interface RappelLeg {
  /** Stances; 0 is the ground. */
  from: number;
  to: number;
  lengthM: number;
  /** False where the topo doesn't say whether one can rappel on from `to`. */
  known: boolean;
}

/** A way down by rappel, from one stance to the ground or as far as the topo and the ropes let it. */
export interface RappelWay {
  legs: RappelLeg[];
  reach: RappelReach;
  /** Where it ends above the ground: the stance, and why there is no further rappel from it. */
  blocked?: { at: number; why: 'no station' | 'too far'; nextM: number };
}

/** Steps that are worth taking for a station that is known: none is used that isn't, where there is a way without. */
const UNKNOWN_COSTS = 1000;

/**
 * The way down from a stance by the fewest rappels, over stations that the topo names where that can be.
 * A stance with `rappel: no` is no station. One that says nothing is used only where nothing else leads
 * down, and is said to be unknown. A longer rope never takes a way away.
 *
 * @param from stance the party is at; 0 is the ground
 */
export function rappelWay(state: TripState, from: number): RappelWay {
  const reach = rappelReach(state);
  const best = bestWays(state, from, reach.reachM);
  let at = from;
  const legs: RappelLeg[] = [];
  const lowest = [...best.keys()].reduce((a, b) => Math.min(a, b), from);
  for (const to of pathTo(best, lowest)) {
    legs.push({
      from: at,
      to,
      lengthM: lengthDownM(state, at, to),
      known: to === 0 || pitchAt(state, to)?.rappel !== undefined,
    });
    at = to;
  }
  if (at === 0) return { legs, reach };
  const isStation = pitchAt(state, at)?.rappel !== false;
  const nextM = lengthDownM(state, at, nextStation(state, at));
  return { legs, reach, blocked: { at, why: isStation ? 'too far' : 'no station', nextM } };
}

interface Step {
  cost: number;
  before: number | undefined;
}

/** The cheapest way to every stance below that can be reached. */
function bestWays(state: TripState, from: number, reachM: number): Map<number, Step> {
  const best = new Map<number, Step>([[from, { cost: 0, before: undefined }]]);
  for (let s = from; s > 0; s--) {
    const here = best.get(s);
    if (here === undefined || pitchAt(state, s)?.rappel === false) continue;
    for (let t = s - 1; t >= 0 && lengthDownM(state, s, t) <= reachM; t--) {
      const station = t === 0 ? true : pitchAt(state, t)?.rappel;
      if (station === false) continue;
      const cost = here.cost + 1 + (station === undefined ? UNKNOWN_COSTS : 0);
      if (cost < (best.get(t)?.cost ?? Number.POSITIVE_INFINITY)) best.set(t, { cost, before: s });
    }
  }
  return best;
}

function pathTo(best: ReadonlyMap<number, Step>, end: number): number[] {
  const path: number[] = [];
  for (let at = end; ; ) {
    const before = best.get(at)?.before;
    if (before === undefined) return path.reverse();
    path.push(at);
    at = before;
  }
}

/** The next stance below from which one could go on; the ground at last. */
function nextStation(state: TripState, at: number): number {
  for (let t = at - 1; t > 0; t--) if (pitchAt(state, t)?.rappel !== false) return t;
  return 0;
}

/** The highest stance from which there is a way down by rappel over all below; undefined when there is none. */
export function lastWayBack(state: TripState): number | undefined {
  for (let s = state.pitches.length; s > 0; s--) {
    if (rappelWay(state, s).blocked === undefined) return s;
  }
  return undefined;
}
