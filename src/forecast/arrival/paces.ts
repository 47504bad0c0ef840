import { type Compiled, shiftBy, type UnderWay } from '../compile.ts';
import type { Leg, LegPart } from '../legs.ts';
import { lognormalMoments } from '../moments.ts';
import { intoTail } from '../normal.ts';
import { evenPoints, evenStep, linePoints, type Point, REACH } from './line-points.ts';
import { dot, meanWeight, principalDirections } from './principal.ts';

/** One pace of the party: the effects, and the chance of it. */
export interface Pace {
  effects: Float64Array;
  chance: number;
  /** Which of `Paces.shifts` it goes with. */
  shift: number;
}

/**
 * The paces a forecast is carried through instead of drawing them: points along the few directions in
 * which the effects matter, as close as it takes for the luck of the legs to smooth over the gaps.
 */
export interface Paces {
  all: Pace[];
  /** Along the pace that the part under way speaks for: how far its points lie off, in `UnderWay.gain`s. */
  shifts: number[];
  /** What the part under way leaves open about that: a standard deviation, in the same measure. */
  shiftSd: number;
  /** What one standard deviation along each direction without points of its own moves the effects by. */
  unspread: Float64Array[];
}

/** Points are as close as so many legs of so many points can be carried, but never fewer than so many. */
const CARRIED_MOST = 2400;
const POINTS_LEAST = 80;
/** Closer than this share of the usual distance nothing is gained. */
const FINEST = 0.3;
const COARSER = 1.12;

/** A direction: what one standard deviation along it moves the effects by, and how much that matters. */
interface Axis {
  moves: Float64Array;
  weight: number;
}

/** The pace the part under way speaks for, and how far it may have shifted. */
interface Spoken {
  /** In the normals the effects are made of. */
  direction: Float64Array;
  weight: number;
  low: number;
  high: number;
  shiftSd: number;
}

/** What the pace does to the legs to come: minutes it moves each by, over the spread of all luck until then. */
interface Pull {
  /** For one standard deviation of each of the normals the effects are made of. */
  byNormal: Float64Array[];
  /** For one `UnderWay.gain`. */
  byGain: Float64Array[];
}

function pullOf(c: Compiled): Pull {
  const { legs, state, underWay, layout } = c;
  const sum = new Float64Array(layout.effects);
  let gainSum = 0;
  let variance = 0;
  const out: Pull = { byNormal: [], byGain: [] };
  for (let k = state.leg + (underWay ? 1 : 0); k < legs.length; k++) {
    const { span, weights } = (legs[k] as Leg).whole;
    const moments = lognormalMoments(span);
    variance += moments.variance;
    const sd = Math.sqrt(variance);
    inNormals(c, weights).forEach((x, i) => {
      sum[i] = (sum[i] as number) + moments.mean * x;
    });
    gainSum += underWay ? moments.mean * dot(weights, underWay.gain) : 0;
    out.byNormal.push(sum.map((x) => x / sd));
    out.byGain.push(Float64Array.of(gainSum / sd));
  }
  return out;
}

/** A weighted sum of the effects, in the normals they are made of. */
function inNormals(c: Compiled, weights: ArrayLike<number>): Float64Array {
  return Float64Array.from({ length: c.layout.effects }, (_, col) =>
    c.effectSpread.reduce((sum, row, e) => sum + (weights[e] as number) * (row[col] as number), 0),
  );
}

function spokenOf(c: Compiled, u: UnderWay, part: LegPart, pull: Pull): Spoken | undefined {
  const { sigma } = part.span;
  const paceVariance = u.sd * u.sd - sigma * sigma;
  // A pace that is known can't be spoken for.
  if (paceVariance < 1e-12) return undefined;
  const normal = inNormals(c, part.weights);
  const length = Math.sqrt(dot(normal, normal));
  const shiftSd = sigma / (Math.sqrt(paceVariance) * u.sd);
  const shiftAt = (z: number): number => shiftBy(u, intoTail(z, u.aboveSd, u.survival));
  return {
    direction: normal.map((x) => x / length),
    weight: Math.max(meanWeight(pull.byGain, [1]), 1 / shiftSd),
    low: shiftAt(-REACH) - REACH * shiftSd,
    high: shiftAt(REACH) + REACH * shiftSd,
    shiftSd,
  };
}

/** The directions that matter, that of the part under way first, if there is one. */
function directionsOf(c: Compiled): { spoken: Spoken | undefined; axes: Axis[] } {
  const { underWay, state, layout } = c;
  const pull = pullOf(c);
  let spoken: Spoken | undefined;
  if (underWay) {
    const leg = c.legs[state.leg] as Leg;
    const part = state.underWay?.part === 'afterFixed' ? leg.afterFixed : leg.whole;
    spoken = spokenOf(c, underWay, part, pull);
  }
  const found = principalDirections(pull.byNormal, layout.effects, spoken?.direction);
  const axes = found.map(({ along, weight }) => ({
    moves: Float64Array.from(c.effectSpread, (row) => dot(along, row)),
    weight,
  }));
  return { spoken, axes };
}

/** The paces of a compiled forecast. */
export function pacesOf(c: Compiled): Paces {
  const { spoken, axes } = directionsOf(c);
  const at = (coarse: number) => {
    const shifts = spoken
      ? evenPoints(spoken.low, spoken.high, evenStep(spoken.weight, coarse))
      : [0];
    const lines = axes.map(({ weight }) => linePoints(weight, coarse));
    const count = lines.reduce((product, points) => product * points.length, shifts.length);
    return { shifts, lines, count };
  };
  const most = Math.max(POINTS_LEAST, CARRIED_MOST / (c.legs.length - c.state.leg));
  let coarse = FINEST;
  while (at(coarse).count > most) coarse *= COARSER;
  const { shifts, lines } = at(coarse);
  const gain = c.underWay?.gain ?? [];
  return {
    all: lines.reduce(
      (paces, points, i) => branched(paces, points, (axes[i] as Axis).moves),
      shifts.map((by, shift): Pace => {
        const effects = Float64Array.from(c.belief.mean, (mean, e) => mean + by * (gain[e] ?? 0));
        return { effects, chance: 1, shift };
      }),
    ),
    shifts,
    shiftSd: spoken?.shiftSd ?? 1,
    unspread: axes.flatMap(({ moves }, i) => (lines[i]?.length === 1 ? [moves] : [])),
  };
}

/** Every pace at every point along one more direction. */
function branched(paces: readonly Pace[], points: readonly Point[], moves: Float64Array): Pace[] {
  return paces.flatMap(({ effects, chance, shift }) =>
    points.map((point) => ({
      effects: effects.map((x, e) => x + point.z * (moves[e] as number)),
      chance: chance * point.chance,
      shift,
    })),
  );
}

/** What the mean of e^(weighted sum of effects) gains by the spread without points: its logarithm. */
export function unspreadGain(paces: Paces, weights: ArrayLike<number>): number {
  return paces.unspread.reduce((sum, moves) => sum + dot(weights, moves) ** 2 / 2, 0);
}
