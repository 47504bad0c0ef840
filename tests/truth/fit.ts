import { type MultivariateNormal, type Observation, posteriorOf } from '../../src/forecast/pace.ts';
import type { PublishedClimb } from './climbs/type.ts';
import { type Moment, play } from './play.ts';
import { quantile } from './score.ts';

/** Figures of `/trip pace` that are fitted to published climbs; all others are as they are. */
export const CLASS_FIGURES = {
  efficient: 'paceEfficient',
  average: 'paceAverage',
  first: 'paceFirst',
} as const;

const CLASSES = ['efficient', 'average', 'first'] as const;

/** A climb at pace 1: log(actual / median), and what it counts for. */
export interface Ratio {
  climb: PublishedClimb;
  logRatio: number;
}

/** How every climb went against the figures of the stages alone. */
export async function ratiosOf(
  climbs: readonly PublishedClimb[],
  tried: Readonly<Record<string, number>> = {},
): Promise<Ratio[]> {
  const out: Ratio[] = [];
  const figures = { ...tried, ...Object.fromEntries(CLASSES.map((c) => [CLASS_FIGURES[c], 1])) };
  for (const climb of climbs) {
    const [before] = (await play(climb, { classed: true, figures, beforeOnly: true })) as [Moment];
    const logRatio = Math.log(before.actualMin / quantile(before.believed, 0.5));
    out.push({ climb, logRatio });
  }
  return out;
}

/**
 * What is believed of the classes before a climb is looked at: guide’s 45 min for the average, half as long again on a
 * first wall, 22–30 min for the efficient; each give or take a third.
 */
const PRIOR: MultivariateNormal = {
  mean: [Math.log(0.6), 0, Math.log(1.5)],
  covariance: [
    [0.09, 0, 0],
    [0, 0.09, 0],
    [0, 0, 0.09],
  ],
};
/** Climbs of one party are alike by this much, and differ by that much. */
const PARTY_SD = 0.3;
const CLIMB_SD = 0.3;

/** The classes’ figures from climbs, by the same Bayesian regression as the forecast’s own. */
export function fitted(ratios: readonly Ratio[]): Record<string, number> {
  const observations = ratios.map(({ climb, logRatio }): Observation => {
    const alike = ratios.filter((r) => r.climb.party === climb.party).length;
    return {
      logRatio,
      weights: CLASSES.map((c) => Number(c === climb.class)),
      sigma: Math.sqrt(alike * PARTY_SD ** 2 + CLIMB_SD ** 2),
    };
  });
  const { mean } = posteriorOf(PRIOR, observations);
  return Object.fromEntries(
    CLASSES.map((c, i) => [CLASS_FIGURES[c], Number(Math.exp(mean[i] as number).toFixed(3))]),
  );
}

/** The figures without any climb of that party. */
export function fitWithout(ratios: readonly Ratio[], party: string): Record<string, number> {
  return fitted(ratios.filter((r) => r.climb.party !== party));
}
