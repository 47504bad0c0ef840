import type { Compiled } from '../compile.ts';
import type { Leg } from '../legs.ts';
import type { Lognormal } from '../moments.ts';
import { addTo, lognormalShape, longerShape, type Shape } from './shape.ts';
import { afterLag, type Lag, lagOf } from './third.ts';

/** A leg's stages by their shapes, at the pace of an average party. */
export interface LegStages {
  lead: Shape;
  fix: Shape;
  /** Haul beside follow, while both keep the party's pace. */
  side: Shape;
  end: Shape | undefined;
  haul: Lognormal | undefined;
  follow: Lognormal;
  /** The third of the leg below. */
  lag: Lag | undefined;
  aid: boolean;
}

/** How one pace stretches a leg: logarithms, by what keeps them. */
export interface LegPace {
  party: number;
  lead: number;
  fix: number;
  follow: number;
}

function stagesOf(leg: Leg, below: Leg | undefined): LegStages {
  const { lead, fix, haul, follow, changeover, third } = leg.stages;
  // At the top the party is complete when the third is up.
  const end = changeover ?? third;
  return {
    lead: lognormalShape(lead),
    fix: lognormalShape(fix),
    side: haul ? longerShape(haul, follow) : lognormalShape(follow),
    end: end && lognormalShape(end),
    haul,
    follow,
    lag: lagOf(below),
    aid: leg.aid,
  };
}

/** Stages of every leg. The first one left to climb has nobody to wait for. */
export function legStages({ legs, state }: Compiled): LegStages[] {
  return legs.map((leg, k) => stagesOf(leg, k > state.leg ? legs[k - 1] : undefined));
}

/** Sets `out` to the shape of a leg's time at a pace: its stages' shapes added up. */
export function legTime(leg: LegStages, pace: LegPace, out: Shape): void {
  const party = Math.exp(pace.party);
  out.mean = 0;
  out.variance = 0;
  out.third = 0;
  addTo(out, leg.lead, Math.exp(pace.lead - pace.party));
  addTo(out, leg.fix, Math.exp(pace.fix - pace.party));
  if (leg.lag) Object.assign(out, afterLag(out, leg.lag));
  if (leg.haul && leg.aid) {
    // Cleaning goes at the pace of aid, hauling beside it at the party's.
    const { mu, sigma } = leg.follow;
    addTo(out, longerShape(leg.haul, { mu: mu + pace.follow - pace.party, sigma }), 1);
  } else {
    addTo(out, leg.side, Math.exp(pace.follow - pace.party));
  }
  if (leg.end) addTo(out, leg.end, 1);
  out.mean *= party;
  out.variance *= party ** 2;
  out.third *= party ** 3;
}
