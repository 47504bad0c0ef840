import { toWall, toWork, type WorkScale } from './scale.ts';
import { chanceUpTo, type Grid, placeOfChance, type Spread } from './spread.ts';

/** When something happens: a time in minutes since now that isn't known exactly. */
export interface Arrival {
  /** Chance, 0–1, that it has happened by then. */
  chanceBy(atMin: number): number;
  /** The moment by which it has happened with chance `p`, 0–1; Infinity where it never gets that likely. */
  quantile(p: number): number;
}

/** A grid laid along a scale: where moments lie in it. */
export interface Line {
  grid: Grid;
  scale: WorkScale;
}

/** A spread with the line it lies along. */
export interface OnLine extends Line {
  spread: Spread;
}

/** Where a moment lies, in bins; it may lie off the grid. */
export function placeAt({ grid, scale }: Line, atMin: number): number {
  return toWork(scale, atMin) / grid.stepMin - grid.first;
}

/** The moment of a place. */
export function momentAt({ grid, scale }: Line, place: number): number {
  return toWall(scale, (place + grid.first) * grid.stepMin);
}

/** What differs from sure or impossible by less than this is rounding. */
const ROUNDING = 1e-6;

/** A chance without the traces of its computation. */
export function tidyChance(chance: number): number {
  if (chance < ROUNDING) return 0;
  return chance > 1 - ROUNDING ? 1 : chance;
}

/** Something that happens at a known moment. */
export function arrivalAt(knownMin: number): Arrival {
  return {
    chanceBy: (atMin) => (knownMin <= atMin ? 1 : 0),
    quantile: () => knownMin,
  };
}

/** Something spread along a line; what its spread lacks to one never happens. */
export function arrivalOn(on: OnLine): Arrival {
  return {
    chanceBy: (atMin) => tidyChance(chanceUpTo(on.spread, placeAt(on, atMin))),
    quantile: (p) => momentAt(on, placeOfChance(on.spread, p)),
  };
}
