import type { Compiled } from './compile.ts';
import { LEG_NORMALS, legNormals } from './layout.ts';
import { haulFirst, type Leg } from './legs.ts';
import type { Lognormal } from './moments.ts';

/** Into how many stretches the route left is split, each with a direction of its own. */
const STRETCHES = 6;

/** Derivative of a stage's time by its normal, at the median, minutes. */
function slope(stage: Lognormal | undefined): number {
  return stage ? Math.exp(stage.mu) * stage.sigma : 0;
}

/** Derivatives of a leg's time by its normals, in the order they are drawn; incidents come too seldom to have one. */
function legSlopes(leg: Leg, sigmaPitch: number): number[] {
  const { lead, fix, haul, follow, changeover, third } = leg.stages;
  const hauls = haulFirst(leg.stages);
  const out = new Array<number>(LEG_NORMALS.more).fill(0);
  out[LEG_NORMALS.lead] = slope(lead);
  out[LEG_NORMALS.fix] = slope(fix);
  out[LEG_NORMALS.follow] = slope(follow) * (1 - hauls);
  out[LEG_NORMALS.end] = changeover ? slope(changeover) : slope(third);
  out[LEG_NORMALS.pitch] = Math.exp(leg.whole.span.mu) * sigmaPitch;
  if (haul) out.push(slope(haul) * hauls);
  return out;
}

/**
 * The directions the top-out depends on most: pace, then each stretch of the route left. They are the
 * gradient of the top-out by the normals, to first order; their length doesn't matter. Medians at the
 * default pace are used, not the posterior's. So the same posts at other times leave every ascent the
 * same random numbers, and order is kept ascent by ascent.
 */
export function sensitivityDirections(c: Compiled): Float64Array[] {
  const { layout, legs, state, underWay } = c;
  const medianMin = (k: number): number => Math.exp((legs[k] as Leg).whole.span.mu);
  const byEffect = new Array<number>(layout.effects).fill(0);
  const first = state.leg + (underWay ? 1 : 0);
  for (let k = first; k < legs.length; k++) {
    const { weights } = (legs[k] as Leg).whole;
    weights.forEach((w, e) => {
      byEffect[e] = (byEffect[e] as number) + w * medianMin(k);
    });
  }
  const pace = new Float64Array(layout.count);
  for (let col = 0; col < layout.effects; col++) {
    for (let row = col; row < layout.effects; row++) {
      const factor = c.steadyCholesky[row]?.[col] as number;
      pace[col] = (pace[col] as number) + factor * (byEffect[row] as number);
    }
  }
  const out = [pace];
  if (underWay) {
    const alone = new Float64Array(layout.count);
    alone[layout.underWay] = 1;
    out.push(alone);
  }
  const left = legs.length - first;
  const stretches = Math.min(STRETCHES, left);
  for (let part = 0; part < stretches; part++) {
    const own = new Float64Array(layout.count);
    const from = first + Math.floor((part * left) / stretches);
    const to = first + Math.floor(((part + 1) * left) / stretches);
    for (let k = from; k < to; k++) {
      const at = legNormals(layout, legs.length, k);
      const slopes = legSlopes(legs[k] as Leg, c.settings.sigmaPitch);
      slopes.forEach((value, i) => {
        own[at + i] = value;
      });
    }
    out.push(own);
  }
  return out;
}
