import { KNOTS_M, lengthDownM, type RappelReach, rappelReach } from './ropes.ts';
import { type PitchState, pitchAt, type TripState } from './state.ts';

/** One rappel of a way down. */
export interface RappelLeg {
  /** Stances; 0 is the ground. */
  from: number;
  to: number;
  lengthM: number;
  /** False where the topo doesn't say whether one can rappel on from `to`. */
  known: boolean;
  /** It ends so near the rope's end that knots may take what is left. */
  tight: boolean;
}

/** A way down by rappel, from one stance to the ground or as far as the topo and the ropes let it. */
export interface RappelWay {
  legs: RappelLeg[];
  reach: RappelReach;
  /** Where it ends above the ground: the stance, and why there is no further rappel from it. */
  blocked?: {
    at: number;
    why: 'no station' | 'too far' | 'traverse' | 'roof';
    nextM: number;
    /** The traverse or roof: which pitch. */
    pitch?: number;
  };
}

/** Steps that are worth taking for a station that is known: none is used that isn't, where there is a way without. */
const UNKNOWN_COSTS = 1000;
/** Of ways with as many rappels, the one that comes less often near the rope's end. */
const TIGHT_COSTS = 0.001;

/** A pitch that no rope goes back over. */
const bars = ({ rappel }: Pick<PitchState, 'rappel'>) => rappel === 'traverse' || rappel === 'roof';
/** A stance from which nobody rappels. */
const isNone = (pitch: PitchState | undefined) =>
  pitch?.rappel === false || (pitch !== undefined && bars(pitch));

/**
 * The way down from a stance by the fewest rappels, over stations that the topo names where that can be.
 * A stance with `rappel: no` is no station, and no rappel crosses a pitch marked a traverse or a roof. One that
 * says nothing is used only where nothing else leads down, and is said to be unknown. A longer rope never takes
 * a way away.
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
    const lengthM = lengthDownM(state, at, to);
    legs.push({
      from: at,
      to,
      lengthM,
      tight: lengthM > reach.reachM - KNOTS_M,
      known: to === 0 || pitchAt(state, to)?.rappel !== undefined,
    });
    at = to;
  }
  if (at === 0) return { legs, reach };
  const next = nextStation(state, at);
  const nextM = lengthDownM(state, at, next);
  const bar = state.pitches.slice(next, at).findLast(bars);
  if (bar?.rappel === 'traverse' || bar?.rappel === 'roof') {
    return { legs, reach, blocked: { at, why: bar.rappel, nextM, pitch: bar.number } };
  }
  const why = isNone(pitchAt(state, at)) ? 'no station' : 'too far';
  return { legs, reach, blocked: { at, why, nextM } };
}

/** Stances on the way, that where it begins too, of which the topo doesn't say whether one can rappel from them. */
export function unknownStations(state: TripState, { legs }: Pick<RappelWay, 'legs'>): number[] {
  const start = legs[0]?.from ?? 0;
  const isUnknown = start > 0 && pitchAt(state, start)?.rappel === undefined;
  return [...(isUnknown ? [start] : []), ...legs.filter((l) => !l.known).map((l) => l.to)];
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
    if (here === undefined || isNone(pitchAt(state, s))) continue;
    for (let t = s - 1; t >= 0; t--) {
      const lengthM = lengthDownM(state, s, t);
      const crossed = pitchAt(state, t + 1);
      if (lengthM > reachM || (crossed !== undefined && bars(crossed))) break;
      const station = t === 0 ? true : pitchAt(state, t)?.rappel;
      if (t > 0 && isNone(pitchAt(state, t))) continue;
      const unknown = station === undefined ? UNKNOWN_COSTS : 0;
      const tight = lengthM > reachM - KNOTS_M ? TIGHT_COSTS : 0;
      const cost = here.cost + 1 + unknown + tight;
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
  for (let t = at - 1; t > 0; t--) if (!isNone(pitchAt(state, t))) return t;
  return 0;
}

/** The highest stance from which there is a way down by rappel over all below; undefined when there is none. */
export function lastWayBack(state: TripState): number | undefined {
  for (let s = state.pitches.length; s > 0; s--) {
    if (rappelWay(state, s).blocked === undefined) return s;
  }
  return undefined;
}
