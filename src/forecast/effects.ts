/**
 * The effects that several stages share: logarithms by which they stretch. A pace is e^effect.
 *
 * - the party's, on everything; aid's, on leads and cleaning on aid; hauling's; changeovers';
 * - each climber's as a leader, free and on aid apart;
 * - a slow drift along the route: a Wiener process from the ground up, by its first Karhunen–Loève terms
 *   (Loève 1948), so that tiring, or finding one's feet, is learnt too;
 * - each day's: a bad first day is not all of the second.
 */
import type { Belief } from '../trip/kinds/pace.ts';
import type { Settings } from './defaults.ts';
import { type Mixture, momentsOf } from './mixture.ts';
import type { ForecastInput, ReferenceClass } from './model.ts';
import type { MultivariateNormal } from './pace.ts';

/** Index of the whole party's effect. */
export const PARTY_EFFECT = 0;
/** Index of the effect of aid climbing. */
export const AID_EFFECT = 1;
/** Index of hauling's effect. */
export const HAUL_EFFECT = 2;
/** Index of changeovers' effect. */
export const CHANGEOVER_EFFECT = 3;
const FIRST_LEADER = 4;

/** Terms of the drift: two hold nine tenths of a Wiener process's variance at the top of the route. */
export const DRIFT_TERMS = 2;
/** Days with an effect of their own; the last one holds all later days too. */
export const DAY_EFFECTS = 4;

/** How many effects there are in a trip with so many climbers. */
export function effectCount(climbers: number): number {
  return FIRST_LEADER + 2 * climbers + DRIFT_TERMS + DAY_EFFECTS;
}

/** Index of a climber's effect as a leader. */
export function leaderEffect(climber: number, aid: boolean): number {
  return FIRST_LEADER + 2 * climber + (aid ? 1 : 0);
}

/** Index of the first term of the drift. */
export function driftEffect(climbers: number): number {
  return FIRST_LEADER + 2 * climbers;
}

/** Index of the effect of a day of the trip, counted from 0. */
export function dayEffect(climbers: number, day: number): number {
  return FIRST_LEADER + 2 * climbers + DRIFT_TERMS + Math.min(day, DAY_EFFECTS - 1);
}

/** The terms' values at a place on the route: 0 is the ground, 1 the top. */
export function driftAt(place: number): number[] {
  return Array.from({ length: DRIFT_TERMS }, (_, j) => {
    const frequency = (j + 0.5) * Math.PI;
    return (Math.SQRT2 * Math.sin(frequency * place)) / frequency;
  });
}

/** A spread of nothing leaves nothing to learn by. */
const LEAST_SD = 1e-4;

/** The reference classes, from the fastest on. */
const CLASSES = ['efficient', 'average', 'first'] as const satisfies readonly ReferenceClass[];

/**
 * What is believed of the party's pace, as a logarithm, before anything of it is known. What a party says of itself
 * holds in most cases. In the others it belongs to a class beside that one.
 */
export function partyPrior(s: Settings, reference: ReferenceClass | undefined): Mixture {
  if (reference === undefined) {
    return [{ weight: 1, mean: Math.log(s.paceUnknown), sd: s.priorParty }];
  }
  const paces = [s.paceEfficient, s.paceAverage, s.paceFirst];
  const said = CLASSES.indexOf(reference);
  const holds = [s.holdsEfficient, s.holdsAverage, s.holdsFirst][said] as number;
  const beside = [said - 1, said + 1].filter((c) => c in paces);
  const belief = (c: number, weight: number) => ({
    weight,
    mean: Math.log(paces[c] as number),
    sd: Math.max(s.priorClass, LEAST_SD),
  });
  return [belief(said, holds), ...beside.map((c) => belief(c, (1 - holds) / beside.length))].filter(
    ({ weight }) => weight > 0,
  );
}

/**
 * What one climb says of the next: two draws of a normal with mean `mean` and spread `sd` that are correlated by `share`.
 * What was learnt is widened, and goes back towards the mean.
 */
export function carriedOver(before: Belief, learnt: Belief, share: number): Belief {
  const rest = (1 - share * share) * before.sd * before.sd;
  return {
    mean: before.mean + share * (learnt.mean - before.mean),
    sd: Math.sqrt(rest + share * share * learnt.sd * learnt.sd),
  };
}

/** How far a party's climbs are alike, as a correlation, when parties differ by `sd` and one party's climbs by `tripSd`. */
function alikeBy(sd: number, tripSd: number): number {
  return sd > tripSd ? 1 - (tripSd / sd) ** 2 : 0;
}

/** What is believed of the party's own effect before anything is climbed. */
export function partyBelief({ party, earlier }: ForecastInput, s: Settings): Mixture {
  const said = partyPrior(s, party ?? earlier?.class);
  if (earlier === undefined) return said;
  const before = momentsOf(said);
  return [{ weight: 1, ...carriedOver(before, earlier.party, alikeBy(before.sd, s.priorTrip)) }];
}

/** What is believed of the effects before anything is climbed: the reference class, or the party's own earlier trip. */
export function priorOf(input: ForecastInput, s: Settings): MultivariateNormal {
  const climbers = input.climbers.length;
  const { earlier } = input;
  const party = momentsOf(partyBelief(input, s));
  const unknown = (sd: number, learnt: Belief | undefined): Belief =>
    learnt ? carriedOver({ mean: 0, sd }, learnt, s.carriedShare) : { mean: 0, sd };
  const mean = new Array<number>(effectCount(climbers)).fill(0);
  const sd = new Array<number>(effectCount(climbers)).fill(0);
  const put = (effect: number, own: Belief): void => {
    mean[effect] = own.mean;
    sd[effect] = own.sd;
  };
  put(PARTY_EFFECT, party);
  put(AID_EFFECT, unknown(s.priorAid, earlier?.aid));
  put(HAUL_EFFECT, unknown(s.priorHaul, earlier?.haul));
  put(CHANGEOVER_EFFECT, unknown(s.priorChangeover, earlier?.changeover));
  for (let l = 0; l < climbers; l++) {
    put(leaderEffect(l, false), unknown(s.priorLeader, earlier?.leaders[l]?.free));
    put(leaderEffect(l, true), unknown(s.priorLeaderAid, earlier?.leaders[l]?.aid));
  }
  for (let j = 0; j < DRIFT_TERMS; j++) {
    put(driftEffect(climbers) + j, { mean: 0, sd: s.priorDrift });
  }
  for (let d = 0; d < DAY_EFFECTS; d++) {
    put(dayEffect(climbers, d), { mean: 0, sd: s.priorDay });
  }
  return {
    mean,
    covariance: sd.map((v, i) => sd.map((_, j) => (i === j ? v * v : 0))),
  };
}
