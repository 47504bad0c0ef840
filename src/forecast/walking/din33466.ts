import { assertWalk, type Walk } from './walk.ts';

/** Speeds of DIN 33466: level, up and down. */
const LEVEL_KM_H = 4;
const UP_M_H = 300;
const DOWN_M_H = 500;

/**
 * Walking time by DIN 33466: the level time and the climb-and-descent time are worked out apart, and
 * the larger counts whole, the smaller half. Breaks are not included.
 *
 * Source: DIN 33466 as given at de.zxc.wiki/wiki/Marschzeitberechnung.
 *
 * @param walk distance in km, ascent and descent in m, none of them negative
 * @returns minutes, not rounded
 * @throws RangeError for a negative or unusable figure
 */
export function walkMin(walk: Walk): number {
  assertWalk(walk);
  const levelMin = (walk.km / LEVEL_KM_H) * 60;
  const steepMin = (walk.upM / UP_M_H + walk.downM / DOWN_M_H) * 60;
  return Math.max(levelMin, steepMin) + Math.min(levelMin, steepMin) / 2;
}
