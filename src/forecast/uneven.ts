/**
 * How uneven a party's pitches have been, each side by itself: parties differ in that, and a route may be odder than its
 * topo. What took longer than the others widens what is expected later, what was quicker widens it sooner; so a slower
 * pitch still brings no quantile forward. Neither side is narrowed: a few even pitches prove little.
 */
import {
  effectiveScale,
  FREEDOM,
  linearCombination,
  type MultivariateNormal,
  type Observation,
} from './pace.ts';

/** Factors, 1 or more, on how far a pitch and the party's pace stray from what is expected of them. */
export interface Unevenness {
  later: number;
  sooner: number;
}

/** Before any is climbed the model's own spread counts for so many pitches: engineering choice. */
const PRIOR_PITCHES = 4;
/** Further off than this, in standard deviations, says no more: a stuck bag is one thing, uneven pitches are another. */
const MOST = 4;

/** How far a stretch lies above what the others say of it, in standard deviations: a studentized residual, left out of its own fit. */
function strayed(posterior: MultivariateNormal, seen: Observation): number {
  const { mean, sd } = linearCombination(posterior, seen.weights);
  const own = effectiveScale(seen.sigma, FREEDOM);
  return (seen.logRatio - mean) / Math.sqrt(own ** 2 - sd ** 2);
}

/** How uneven what was told is, given what is believed by it. */
export function unevennessOf(
  posterior: MultivariateNormal,
  observations: readonly Observation[],
): Unevenness {
  const by = observations.map((seen) => strayed(posterior, seen));
  const side = (sign: number): number => {
    // One side holds half of the squares that both would.
    const squares = by.reduce((sum, u) => sum + 2 * Math.min(MOST, Math.max(0, sign * u)) ** 2, 0);
    return Math.max(1, Math.sqrt((PRIOR_PITCHES + squares) / (PRIOR_PITCHES + by.length)));
  };
  return { later: side(1), sooner: side(-1) };
}

/** A deviation, with the factor of its side. */
export function widened(deviation: number, { later, sooner }: Unevenness): number {
  return deviation * (deviation > 0 ? later : sooner);
}
