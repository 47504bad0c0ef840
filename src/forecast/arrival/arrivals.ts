import type { Compiled } from '../compile.ts';
import { type Arrival, arrivalAt, arrivalOn, type OnLine, tidyChance } from './arrival.ts';
import type { Boarding } from './boarding.ts';
import { carryNext, newCarry } from './carry.ts';
import { restArrival } from './rest.ts';
import { wayDownFrom, wayDownSince } from './way-down.ts';

/** When everything ahead happens. */
export interface Arrivals {
  /** Done, by leg still to climb. */
  done: Arrival[];
  topout: Arrival;
  trailhead: Arrival;
  boarding: Boarding;
  /** Chance of a night where not everybody can lie down. */
  exposed: number;
}

/** The arrivals, a piece at a time. */
export interface ArrivalsRun {
  /** Carries one pace up one leg; true when all are on top. */
  step(): boolean;
  result(): Arrivals;
}

/**
 * Begins the arrivals of a forecast: the ascents of `simulate.ts`, all of them. What single stages
 * bring isn't drawn but added up as chances along the route, at every one of a few dozen paces that
 * stand for all; a quantile then has no noise of the draw. (Conditional Monte Carlo with its last
 * draws replaced by a sum.)
 */
export function startArrivals(c: Compiled): ArrivalsRun {
  if (c.state.leg === c.legs.length) {
    const topMin = c.state.readyMin;
    const result = (): Arrivals => ({
      done: [],
      topout: arrivalAt(topMin),
      ...wayDownSince(c, topMin),
      exposed: 0,
    });
    return { step: () => true, result };
  }
  const carry = newCarry(c);
  return {
    step: () => carryNext(carry),
    result: () => {
      const on = carry.done.map((spread): OnLine => ({ ...carry.line, spread }));
      const done = on.map(arrivalOn);
      const u = c.underWay;
      if (u) done[0] = restArrival(c.clock, u.fromMin, u);
      return {
        done,
        topout: done.at(-1) as Arrival,
        ...wayDownFrom(c, on.at(-1) as OnLine),
        exposed: tidyChance(carry.exposed),
      };
    },
  };
}
