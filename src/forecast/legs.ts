import type { Settings } from './defaults.ts';
import type { ForecastInput, ForecastPitch } from './model.ts';
import { type Lognormal, lognormalMoments, maxLognormalMoments } from './moments.ts';
import { linearCombination, type MultivariateNormal } from './pace.ts';
import { afterFixOf, isAid, leadAndFixOf, type Stages, stagesOf, totalOf } from './stages.ts';

/** Index of the whole party's effect. Aid and the leaders follow. */
export const PARTY_EFFECT = 0;
/** Index of the effect of aid climbing. */
export const AID_EFFECT = 1;
/** Index of the first climber's effect as a leader; the other climbers follow. */
export const FIRST_LEADER_EFFECT = 2;

/** A part of a leg, as one lognormal, and how far each pace effect stretches it (weights 0–1). */
export interface LegPart {
  span: Lognormal;
  weights: number[];
}

/** One lead: a pitch, or several linked. */
export interface Leg {
  /** Indices into `ForecastInput.pitches`. */
  first: number;
  last: number;
  leader: number;
  aid: boolean;
  stages: Stages;
  /** The leg from its start until the next lead can begin. */
  whole: LegPart;
  /** Until the line is fixed. */
  untilFixed: LegPart;
  /** From fixed to done. */
  afterFixed: LegPart;
}

const mean = (stage: Lognormal | undefined): number => (stage ? lognormalMoments(stage).mean : 0);

/**
 * Weights of the pace effects: the share of the part's time each one stretches. The party's pace
 * stretches all of it; a leader's, lead and anchor; aid pace, the lead and the cleaning. To first
 * order log(Σ tᵢ·e^wᵢ) is linear in the effects with these shares, and the effects of aid and leader
 * are small, so the model stays linear and normal.
 */
function weigh(leg: Omit<Leg, 'whole' | 'untilFixed' | 'afterFixed'>, climbers: number) {
  const { stages, aid, leader } = leg;
  const lead = mean(stages.lead);
  const fix = mean(stages.fix);
  const side = stages.haul
    ? maxLognormalMoments(stages.haul, stages.follow).mean
    : mean(stages.follow);
  const end = mean(stages.changeover ?? stages.third);
  const weights = (aidMin: number, leaderMin: number, totalMin: number): number[] => {
    const out = new Array<number>(FIRST_LEADER_EFFECT + climbers).fill(0);
    out[PARTY_EFFECT] = 1;
    out[AID_EFFECT] = aid ? aidMin / totalMin : 0;
    if (leader >= 0 && leader < climbers) out[FIRST_LEADER_EFFECT + leader] = leaderMin / totalMin;
    return out;
  };
  return {
    whole: weights(lead + side, lead + fix, lead + fix + side + end),
    untilFixed: weights(lead, lead + fix, lead + fix),
    afterFixed: weights(side, 0, side + end),
  };
}

/** The route as a row of leads; a link is one. The leader is the one who led, where that was told. */
export function legsOf(input: ForecastInput, settings: Settings): Leg[] {
  const legs: Leg[] = [];
  const { pitches } = input;
  for (let first = 0; first < pitches.length; ) {
    let last = first;
    while (last < pitches.length - 1 && pitches[last]?.linkedToNext) last++;
    const own = pitches.slice(first, last + 1);
    const lead = own[0] as ForecastPitch;
    const leader = lead.actual?.leader ?? lead.leader;
    const told = own.map((pitch) => ({ ...pitch, leader: pitch.actual?.leader ?? leader }));
    const stages = stagesOf(told, input, settings, last === pitches.length - 1);
    const base = { first, last, leader, aid: own.some(isAid), stages };
    const weights = weigh(base, input.climbers.length);
    legs.push({
      ...base,
      whole: { span: totalOf(stages), weights: weights.whole },
      untilFixed: { span: leadAndFixOf(stages), weights: weights.untilFixed },
      afterFixed: { span: afterFixOf(stages), weights: weights.afterFixed },
    });
    first = last + 1;
  }
  return legs;
}

/** Median minutes of each leg at the posterior mean of the effects. */
export function expectedMin(legs: readonly Leg[], posterior: MultivariateNormal): number[] {
  return legs.map(({ whole }) =>
    Math.exp(whole.span.mu + linearCombination(posterior, whole.weights).mean),
  );
}
