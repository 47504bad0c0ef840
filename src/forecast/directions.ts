import type { Compiled } from './compile.ts';
import { legNormals } from './layout.ts';
import type { Leg } from './legs.ts';
import type { Lognormal } from './moments.ts';
import { normalCdf } from './normal.ts';

/** Into how many stretches of the route its luck is split. */
const STRETCHES = 3;

/** Minutes a stage's median shifts the leg for one standard deviation of it. */
function slope(stage: Lognormal | undefined): number {
  return stage ? Math.exp(stage.mu) * stage.sigma : 0;
}

/** Slopes of a leg's stages, in the order their normals are drawn. */
function legSlopes(leg: Leg): number[] {
  const { lead, fix, haul, follow, changeover, third } = leg.stages;
  const haulFirst = haul
    ? normalCdf((haul.mu - follow.mu) / Math.hypot(haul.sigma, follow.sigma))
    : 0;
  const out = [
    slope(lead),
    slope(fix),
    slope(follow) * (1 - haulFirst),
    changeover ? slope(changeover) : slope(third),
  ];
  if (haul) out.push(slope(haul) * haulFirst);
  return out;
}

/**
 * The directions the top-out depends on most: pace, then the luck on each third of the route left.
 * To first order, by the slope of each stage's time; only which way they point matters, not how far.
 * Medians at everyday pace are used, not what was learnt: so the same posts at other times leave every
 * ascent the same luck, and order is kept ascent by ascent.
 */
export function directionsOf(c: Compiled): Float64Array[] {
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
      const spread = c.effectSpread[row]?.[col] as number;
      pace[col] = (pace[col] as number) + spread * (byEffect[row] as number);
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
    const luck = new Float64Array(layout.count);
    const from = first + Math.floor((part * left) / stretches);
    const to = first + Math.floor(((part + 1) * left) / stretches);
    for (let k = from; k < to; k++) {
      const at = legNormals(layout, legs.length, k);
      const slopes = legSlopes(legs[k] as Leg);
      slopes.forEach((value, i) => {
        luck[at + i] = value;
      });
    }
    out.push(luck);
  }
  return out;
}
