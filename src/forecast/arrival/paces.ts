import { type Compiled, effectShift, type UnderWay } from '../compile.ts';
import { type Leg, type LegPart, PARTY_EFFECT } from '../legs.ts';
import { lognormalMoments } from '../moments.ts';
import { truncatedNormal } from '../normal.ts';
import { dot, meanWeight, principalDirections } from './principal.ts';
import {
  allotPoints,
  evenly,
  evenPoints,
  NORMAL,
  type QuadraturePoint,
  REACH,
} from './quadrature.ts';

/** One quadrature point in the space of the effects, and its weight as a probability. */
export interface Pace {
  effects: Float64Array;
  chance: number;
  /** Which of `Paces.shifts` it goes with. */
  shift: number;
}

/**
 * The paces that stand for the posterior of the effects: a product quadrature rule along the few
 * principal directions in which the effects matter. Its points are as close as the variance of the
 * legs needs to smooth over the gaps.
 */
export interface Paces {
  all: Pace[];
  /** Points along the direction that the part under way informs: how far they lie off, in `UnderWay.gain`s. */
  shifts: number[];
  /** What the part under way leaves open about that: a standard deviation, in the same measure. */
  shiftSd: number;
  /** By how much one standard deviation along each direction left out moves the effects. */
  omitted: Float64Array[];
}

/** As many points as it takes, up to so many legs of them in all, and in any case within these bounds. */
const CARRIED_MOST = 3000;
const POINTS_LEAST = 80;
const POINTS_MOST = 110;
/** Where points are cheap they are closer than they need be, down to this share of the usual distance. */
const FINEST = 0.5;

/** A direction: what one standard deviation along it moves the effects by, and how much that matters. */
interface Axis {
  moves: Float64Array;
  weight: number;
}

/** The direction of pace that the part under way informs, and how far it may have shifted. */
interface ConditionedAxis {
  /** In the normals the effects are made of. */
  direction: Float64Array;
  weight: number;
  /** How far it reaches either way before anything is known of how long the part takes. */
  reach: number;
  /** And given the time spent on it. */
  low: number;
  high: number;
  shiftSd: number;
}

/** How far the effects move each time to come, in standard deviations of all stages until then. */
interface Sensitivity {
  /** For one standard deviation of each of the normals the effects are made of. */
  byNormal: Float64Array[];
  /** For one `UnderWay.gain`. */
  byGain: Float64Array[];
}

/** When each leg to come is done, and how early each stance on the way has to be reached to go on. */
function sensitivityOf(c: Compiled): Sensitivity {
  const { legs, state, underWay: u, layout, rules } = c;
  const first = state.leg + (u ? 1 : 0);
  const party = inNormals(c, unit(layout.effects, PARTY_EFFECT));
  let sum = new Float64Array(layout.effects);
  let gainSum = 0;
  let variance = u ? (Math.exp(u.mean) * partUnderWay(c).span.sigma) ** 2 : 0;
  const out: Sensitivity = { byNormal: [], byGain: [] };
  const add = (moreMin: number): void => {
    const sd = Math.sqrt(variance);
    out.byNormal.push(sum.map((x, i) => (x + moreMin * (party[i] as number)) / sd));
    const gain = gainSum + moreMin * (u?.gain[PARTY_EFFECT] ?? 0);
    out.byGain.push(Float64Array.of(gain / sd));
  };
  for (let k = first; k < legs.length; k++) {
    // A slow party settles earlier, for as long as it takes to where it could sleep next.
    const early = rules.refuge[k] === 1 ? (rules.earlyMin[k] as number) : 0;
    if (k > state.leg && early > 0 && early < rules.stopEarlyMaxMin) add(early);
    const { span, weights } = (legs[k] as Leg).whole;
    const { mean, variance: more } = lognormalMoments(span);
    const moves = inNormals(c, weights);
    sum = sum.map((x, i) => x + mean * (moves[i] as number));
    gainSum += u ? mean * dot(weights, u.gain) : 0;
    variance += more;
    add(0);
  }
  return out;
}

function unit(size: number, at: number): Float64Array {
  const out = new Float64Array(size);
  out[at] = 1;
  return out;
}

function partUnderWay({ legs, state }: Compiled): LegPart {
  const leg = legs[state.leg] as Leg;
  return state.underWay?.part === 'afterFixed' ? leg.afterFixed : leg.whole;
}

/** A weighted sum of the effects, in the normals they are made of. */
function inNormals(c: Compiled, weights: ArrayLike<number>): Float64Array {
  return Float64Array.from({ length: c.layout.effects }, (_, col) =>
    c.effectCholesky.reduce(
      (sum, row, e) => sum + (weights[e] as number) * (row[col] as number),
      0,
    ),
  );
}

function conditionedAxisOf(
  c: Compiled,
  u: UnderWay,
  part: LegPart,
  sensitivity: Sensitivity,
): ConditionedAxis | undefined {
  const { sigma } = part.span;
  const paceVariance = u.sd * u.sd - sigma * sigma;
  // A pace that is known exactly can't be informed.
  if (paceVariance < 1e-12) return undefined;
  const normal = inNormals(c, part.weights);
  const length = Math.sqrt(dot(normal, normal));
  const shiftSd = sigma / (Math.sqrt(paceVariance) * u.sd);
  const shiftAt = (z: number): number => effectShift(u, truncatedNormal(z, u.aboveSd, u.survival));
  return {
    direction: normal.map((x) => x / length),
    weight: Math.max(meanWeight(sensitivity.byGain, [1]), 1 / shiftSd),
    reach: effectShift(u, REACH) + REACH * shiftSd,
    low: shiftAt(-REACH) - REACH * shiftSd,
    high: shiftAt(REACH) + REACH * shiftSd,
    shiftSd,
  };
}

/** The directions that matter, that of the part under way first, if there is one. */
function axesOf(c: Compiled): { conditioned: ConditionedAxis | undefined; axes: Axis[] } {
  const { underWay, layout } = c;
  const sensitivity = sensitivityOf(c);
  const conditioned = underWay && conditionedAxisOf(c, underWay, partUnderWay(c), sensitivity);
  const found = principalDirections(sensitivity.byNormal, layout.effects, conditioned?.direction);
  const axes = found.map(({ along, weight }) => ({
    moves: Float64Array.from(c.effectCholesky, (row) => dot(along, row)),
    weight,
  }));
  return { conditioned, axes };
}

/** The paces of a compiled forecast. */
export function pacesOf(c: Compiled): Paces {
  const { conditioned, axes } = axesOf(c);
  const carried = CARRIED_MOST / (c.legs.length - c.state.leg);
  const most = Math.min(POINTS_MOST, Math.max(POINTS_LEAST, carried));
  const ladders = axes.map(({ weight }) => ({ ladder: NORMAL, weight }));
  const first = conditioned && { ladder: evenly(conditioned.reach), weight: conditioned.weight };
  const points = allotPoints(first ? [first, ...ladders] : ladders, most, FINEST);
  const shifts = conditioned ? within(conditioned, points.shift() as QuadraturePoint[]) : [0];
  const gain = c.underWay?.gain ?? [];
  return {
    all: points.reduce(
      (paces, line, i) => branched(paces, line, (axes[i] as Axis).moves),
      shifts.map((by, shift): Pace => {
        const effects = Float64Array.from(
          c.posterior.mean,
          (mean, e) => mean + by * (gain[e] ?? 0),
        );
        return { effects, chance: 1, shift };
      }),
    ),
    shifts,
    shiftSd: conditioned?.shiftSd ?? 1,
    omitted: axes.flatMap(({ moves }, i) => (points[i]?.length === 1 ? [moves] : [])),
  };
}

/** The points a shift can still lie at: always the same ones, so that nothing jumps as time passes. */
function within({ low, high }: ConditionedAxis, points: readonly QuadraturePoint[]): number[] {
  const [first, second] = points as [QuadraturePoint, QuadraturePoint];
  return evenPoints(low, high, second.z - first.z);
}

/** Every pace at every point along one more direction. */
function branched(
  paces: readonly Pace[],
  points: readonly QuadraturePoint[],
  moves: Float64Array,
): Pace[] {
  return paces.flatMap(({ effects, chance, shift }) =>
    points.map((point) => ({
      effects: effects.map((x, e) => x + point.z * (moves[e] as number)),
      chance: chance * point.chance,
      shift,
    })),
  );
}

/** The log of what the mean of e^(weighted sum of effects) gains by the variance of the directions left out. */
export function omittedGain(paces: Paces, weights: ArrayLike<number>): number {
  return paces.omitted.reduce((sum, moves) => sum + dot(weights, moves) ** 2 / 2, 0);
}
