import type { Compiled } from '../compile.ts';
import type { Leg } from '../legs.ts';
import type { Lognormal } from '../moments.ts';
import {
  addMoments,
  type CentralMoments,
  lognormalCentralMoments,
  maxCentralMoments,
} from './central-moments.ts';
import { afterLag, type Lag, lagOf } from './third.ts';

/** Central moments of a leg's stages, at the pace of an average party. */
export interface LegStages {
  lead: CentralMoments;
  fix: CentralMoments;
  /** Haul beside follow, while both keep the party's pace. */
  side: CentralMoments;
  end: CentralMoments | undefined;
  haul: Lognormal | undefined;
  follow: Lognormal;
  /** The third of the leg below. */
  lag: Lag | undefined;
  aid: boolean;
}

/** The logarithms by which one pace stretches each stage of a leg. */
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
    lead: lognormalCentralMoments(lead),
    fix: lognormalCentralMoments(fix),
    side: haul ? maxCentralMoments(haul, follow) : lognormalCentralMoments(follow),
    end: end && lognormalCentralMoments(end),
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

/** Sets `out` to the central moments of a leg's time at a pace: the sums of its stages'. */
export function legTime(leg: LegStages, pace: LegPace, out: CentralMoments): void {
  const party = Math.exp(pace.party);
  out.mean = 0;
  out.variance = 0;
  out.third = 0;
  addMoments(out, leg.lead, Math.exp(pace.lead - pace.party));
  addMoments(out, leg.fix, Math.exp(pace.fix - pace.party));
  if (leg.lag) Object.assign(out, afterLag(out, leg.lag));
  if (leg.haul && leg.aid) {
    // Cleaning goes at the pace of aid, hauling beside it at the party's.
    const { mu, sigma } = leg.follow;
    addMoments(out, maxCentralMoments(leg.haul, { mu: mu + pace.follow - pace.party, sigma }), 1);
  } else {
    addMoments(out, leg.side, Math.exp(pace.follow - pace.party));
  }
  if (leg.end) addMoments(out, leg.end, 1);
  out.mean *= party;
  out.variance *= party ** 2;
  out.third *= party ** 3;
}
