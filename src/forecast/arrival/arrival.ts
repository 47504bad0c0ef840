import { cumulativeAt, type Grid, type ProbabilityMass, quantilePlace } from './mass.ts';
import { toWall, toWork, type WorkScale } from './scale.ts';

/** The distribution of a time, in minutes since now. */
export interface Arrival {
  /** Cumulative distribution, 0–1: the probability that it has happened by then. */
  chanceBy(atMin: number): number;
  /** Quantile: the moment by which it has happened with probability `p`; Infinity where it never gets that likely. */
  quantile(p: number): number;
}

/** An axis of work: a grid of bins along a work scale. */
export interface WorkAxis {
  grid: Grid;
  scale: WorkScale;
}

/** A mass function and the axis it lies along. */
export interface MassOnAxis extends WorkAxis {
  spread: ProbabilityMass;
}

/** Where a moment lies, in bins; it may lie off the grid. */
export function placeAt({ grid, scale }: WorkAxis, atMin: number): number {
  return toWork(scale, atMin) / grid.stepMin - grid.first;
}

/** The moment of a place. */
export function momentAt({ grid, scale }: WorkAxis, place: number): number {
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

/** The distribution behind a mass function. What the mass lacks to one never happens. */
export function arrivalOn(on: MassOnAxis): Arrival {
  return {
    chanceBy: (atMin) => tidyChance(cumulativeAt(on.spread, placeAt(on, atMin))),
    quantile: (p) => momentAt(on, quantilePlace(on.spread, p)),
  };
}
