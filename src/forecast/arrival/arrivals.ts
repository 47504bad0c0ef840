import type { Compiled } from '../compile.ts';
import { type Arrival, arrivalAt, arrivalOn, type MassOnAxis, tidyChance } from './arrival.ts';
import type { Boarding } from './boarding.ts';
import { newPropagation, propagateNext } from './propagation.ts';
import { residualArrival } from './residual.ts';
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
 * Begins the arrivals of a forecast: the distributions that the ascents of `simulate.ts` are samples
 * of. The durations of the legs are convolved along the route, at each of a few dozen paces. The paces
 * are the points of a quadrature rule over the posterior of the effects. So a quantile has no sampling
 * noise.
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
  const carry = newPropagation(c);
  return {
    step: () => propagateNext(carry),
    result: () => {
      const on = carry.done.map((spread): MassOnAxis => ({ ...carry.line, spread }));
      const done = on.map(arrivalOn);
      const u = c.underWay;
      if (u) done[0] = residualArrival(c.clock, u.fromMin, u);
      return {
        done,
        topout: done.at(-1) as Arrival,
        ...wayDownFrom(c, on.at(-1) as MassOnAxis),
        exposed: tidyChance(carry.exposed),
      };
    },
  };
}
