import { assertWalk, type Walk } from './walk.ts';

/** Naismith: 5 km/h, and an hour for every 600 m up. */
const LEVEL_KM_H = 5;
const UP_M_H = 600;
/** Langmuir: ten minutes for every 300 m down, off on a gentle slope and on to a steep one. */
const DOWN_MIN_PER_M = 10 / 300;
const GENTLE_FROM_DEG = 5;
const STEEP_FROM_DEG = 12;

/** Descent sorted by how steep it is; what is flatter than 5° needs no correction. */
export interface Descents {
  /** Descent on slopes of 5° to 12°, m. */
  gentleM: number;
  /** Descent on slopes steeper than 12°, m. */
  steepM: number;
}

/**
 * Walking time by Naismith's rule with Langmuir's corrections for descent. Naismith's rule alone
 * takes no notice of descent: leave `descents` out for it. Breaks are not included.
 *
 * Source: docsbay.net/naismiths-rule; outdoorsireland.blogspot.com/2007/09.
 *
 * @param walk distance in km, ascent in m; `downM` is not used, because the rule needs its steepness
 * @returns minutes, not rounded, never negative
 * @throws RangeError for a negative or unusable figure
 */
export function naismithMin(walk: Walk, descents: Descents = { gentleM: 0, steepM: 0 }): number {
  assertWalk(walk);
  if (!(descents.gentleM >= 0 && descents.steepM >= 0)) {
    throw new RangeError('descents must be 0 or more');
  }
  const levelMin = (walk.km / LEVEL_KM_H) * 60 + (walk.upM / UP_M_H) * 60;
  return Math.max(0, levelMin + (descents.steepM - descents.gentleM) * DOWN_MIN_PER_M);
}

/**
 * Sorts a descent by its mean slope, for a walk of which only the sum of descent is known.
 *
 * @param downM descent, m
 * @param overKm horizontal distance it takes, km
 */
export function sortDescent(downM: number, overKm: number): Descents {
  const slopeDeg = (Math.atan2(downM, overKm * 1000) * 180) / Math.PI;
  if (slopeDeg > STEEP_FROM_DEG) return { gentleM: 0, steepM: downM };
  if (slopeDeg >= GENTLE_FROM_DEG) return { gentleM: downM, steepM: 0 };
  return { gentleM: 0, steepM: 0 };
}
