import type { Settings } from './defaults.ts';
import {
  AID_EFFECT,
  CHANGEOVER_EFFECT,
  dayEffect,
  driftAt,
  driftEffect,
  effectCount,
  HAUL_EFFECT,
  leaderEffect,
  PARTY_EFFECT,
} from './effects.ts';
import type { ForecastInput, ForecastPitch } from './model.ts';
import { type Lognormal, lognormalMoments, maxLognormalMoments } from './moments.ts';
import { normalCdf } from './normal.ts';
import { linearCombination, type MultivariateNormal } from './pace.ts';
import { afterFixOf, isAid, leadAndFixOf, type Stages, stagesOf, totalOf } from './stages.ts';

/** A part of a leg, as one lognormal, and how far each effect stretches it. */
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
  /** Values of the drift's terms here. */
  drift: number[];
  /** Day of the trip it was climbed on, or is expected to be; −1: not known. */
  day: number;
  /** The leg from its start until the next lead can begin. */
  whole: LegPart;
  /** Until the line is fixed. */
  untilFixed: LegPart;
  /** From fixed to done. */
  afterFixed: LegPart;
}

const mean = (stage: Lognormal | undefined): number => (stage ? lognormalMoments(stage).mean : 0);

/** How likely the haul is the longer of haul and follow, at the default pace. */
export function haulFirst({ haul, follow }: Stages): number {
  return haul ? normalCdf((haul.mu - follow.mu) / Math.hypot(haul.sigma, follow.sigma)) : 0;
}

/**
 * Weights of the effects: the share of the part's time each one stretches. To first order log(Σ tᵢ·e^wᵢ)
 * is linear in the effects with these shares, and the effects are small beside 1, so the model stays linear
 * and normal.
 */
function weigh(leg: Pick<Leg, 'stages' | 'aid' | 'leader' | 'drift'>, climbers: number) {
  const { stages, aid, leader, drift } = leg;
  const lead = mean(stages.lead);
  const fix = mean(stages.fix);
  const side = stages.haul
    ? maxLognormalMoments(stages.haul, stages.follow).mean
    : mean(stages.follow);
  const haul = side * haulFirst(stages);
  const change = mean(stages.changeover);
  const end = stages.changeover ? change : mean(stages.third);
  const weights = (part: 'whole' | 'untilFixed' | 'afterFixed'): number[] => {
    const before = part === 'afterFixed' ? 0 : 1;
    const after = part === 'untilFixed' ? 0 : 1;
    const total = before * (lead + fix) + after * (side + end);
    const out = new Array<number>(effectCount(climbers)).fill(0);
    out[PARTY_EFFECT] = 1;
    drift.forEach((value, j) => {
      out[driftEffect(climbers) + j] = value;
    });
    if (aid) out[AID_EFFECT] = (before * lead + after * (side - haul)) / total;
    out[HAUL_EFFECT] = (after * haul) / total;
    out[CHANGEOVER_EFFECT] = (after * change) / total;
    if (leader >= 0 && leader < climbers) {
      out[leaderEffect(leader, aid)] = (before * (lead + fix)) / total;
    }
    return out;
  };
  return { whole: weights('whole'), until: weights('untilFixed'), after: weights('afterFixed') };
}

/** The route as a row of leads; a link is one. The leader is the one who led, where that was told. */
export function legsOf(input: ForecastInput, settings: Settings): Leg[] {
  const groups: [number, number][] = [];
  const { pitches } = input;
  for (let first = 0; first < pitches.length; ) {
    let last = first;
    while (last < pitches.length - 1 && pitches[last]?.linkedToNext) last++;
    groups.push([first, last]);
    first = last + 1;
  }
  return groups.map(([first, last], k) => {
    const own = pitches.slice(first, last + 1);
    const lead = own[0] as ForecastPitch;
    const leader = lead.actual?.leader ?? lead.leader;
    const told = own.map((pitch) => ({ ...pitch, leader: pitch.actual?.leader ?? leader }));
    const stages = stagesOf(told, input, settings, last === pitches.length - 1);
    const drift = driftAt((k + 0.5) / groups.length);
    const base = { first, last, leader, aid: own.some(isAid), stages, drift, day: -1 };
    const weights = weigh(base, input.climbers.length);
    return {
      ...base,
      whole: { span: totalOf(stages), weights: weights.whole },
      untilFixed: { span: leadAndFixOf(stages), weights: weights.until },
      afterFixed: { span: afterFixOf(stages), weights: weights.after },
    };
  });
}

/** Says on which day of the trip a leg was climbed, or is expected to be: that day's effect stretches it. */
export function setDay(leg: Leg, day: number, climbers: number): void {
  leg.day = day;
  for (const { weights } of [leg.whole, leg.untilFixed, leg.afterFixed]) {
    weights[dayEffect(climbers, day)] = 1;
  }
}

/** Median minutes of each leg at the posterior mean of the effects. */
export function expectedMin(legs: readonly Leg[], posterior: MultivariateNormal): number[] {
  return legs.map(({ whole }) =>
    Math.exp(whole.span.mu + linearCombination(posterior, whole.weights).mean),
  );
}
