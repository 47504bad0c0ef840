import { type Compiled, shiftBy, type UnderWay } from '../compile.ts';
import { type LegPart, PARTY_EFFECT } from '../legs.ts';
import { lognormalMoments } from '../moments.ts';
import { intoTail } from '../normal.ts';
import { dot, meanWeight, principalDirections, without } from './principal.ts';

/** One pace of the party: the effects, and the chance of it. */
export interface Pace {
  effects: Float64Array;
  chance: number;
  /** Which column of `Paces.shifts` it goes with. */
  shift: number;
}

/**
 * The paces a forecast is carried through, instead of drawing them: points along the few directions in
 * which the effects matter, as close as it takes for the luck of the legs to smooth over the gaps.
 */
export interface Paces {
  all: Pace[];
  /** Along the pace that the part under way speaks for: how far each of its points lies, in `gain`s. */
  shifts: number[];
  /** Spread about those points, in the same measure: what the part under way leaves open. */
  shiftSd: number;
  /** How far the party's pace, a logarithm, strays about a point that stands for it. */
  partySd: number;
  /** Spread of the effects that no point stands for: one direction a row. */
  unspread: Float64Array[];
}

/** Distance of points, in standard deviations of what smooths over it. */
const SPACING = 1.3;
/** How far out the points go, in standard deviations. */
const REACH = 3.6;
/** Up to this weight of a direction it is left to its mean, to two points, to three. */
const MEAN_ONLY = 0.08;
const TWO_POINTS = 0.3;
const THREE_POINTS = 0.5;
/** More points than this are not worth their time: they are set further apart instead. */
const POINTS_MAX = 400;

interface Point {
  z: number;
  chance: number;
}

/** Points on a line, and how far what each stands for strays about it: a standard deviation. */
interface Line {
  points: Point[];
  about: number;
}

/** Points for a standard normal, by how much the direction matters. */
function lineFor(weight: number, spacing: number): Line {
  if (weight < MEAN_ONLY) return { points: [{ z: 0, chance: 1 }], about: 1 };
  // Gauss–Hermite rules of two and three points (Abramowitz and Stegun, table 25.10).
  if (weight < TWO_POINTS) return { points: [-1, 1].map((z) => ({ z, chance: 0.5 })), about: 0.6 };
  if (weight < THREE_POINTS) {
    const outer = Math.sqrt(3);
    const points = [-outer, 0, outer].map((z) => ({ z, chance: z === 0 ? 2 / 3 : 1 / 6 }));
    return { points, about: 0.5 };
  }
  const step = spacing / Math.max(1, weight);
  const all = evenPoints(-REACH, REACH, step);
  const density = (z: number): number => Math.exp(-0.5 * z * z);
  const sum = all.reduce((total, z) => total + density(z), 0);
  return { points: all.map((z) => ({ z, chance: density(z) / sum })), about: evenSd(step) };
}

/** Standard deviation of what lies evenly within one step. */
function evenSd(step: number): number {
  return step / Math.sqrt(12);
}

/** Multiples of `step` from one end to the other. */
function evenPoints(from: number, to: number, step: number): number[] {
  const first = Math.floor(from / step);
  return Array.from({ length: Math.ceil(to / step) - first + 1 }, (_, i) => (first + i) * step);
}

/** Where the pace moves the legs to come: minutes by direction of the effects, over the luck's spread by then. */
interface Pull {
  byNormal: Float64Array[];
  /** Along `UnderWay.gain`. */
  byGain: Float64Array[];
}

function pullOf(c: Compiled): Pull {
  const { legs, state, underWay, layout } = c;
  const size = layout.effects;
  const sum = new Float64Array(size);
  let gainSum = 0;
  let variance = 0;
  const out: Pull = { byNormal: [], byGain: [] };
  for (let k = state.leg + (underWay ? 1 : 0); k < legs.length; k++) {
    const { span, weights } = (legs[k] as Compiled['legs'][number]).whole;
    const moments = lognormalMoments(span);
    variance += moments.variance;
    const normal = alongNormals(c, weights);
    for (let i = 0; i < size; i++)
      sum[i] = (sum[i] as number) + moments.mean * (normal[i] as number);
    if (underWay) gainSum += moments.mean * dot(weights, underWay.gain);
    const sd = Math.sqrt(variance);
    out.byNormal.push(sum.map((x) => x / sd));
    out.byGain.push(Float64Array.of(gainSum / sd));
  }
  return out;
}

/** A sum of effects as a sum of the normals they are made of. */
function alongNormals(c: Compiled, weights: ArrayLike<number>): Float64Array {
  return Float64Array.from({ length: c.layout.effects }, (_, col) =>
    c.effectSpread.reduce((sum, row, e) => sum + (weights[e] as number) * (row[col] as number), 0),
  );
}

/** How far one standard deviation along a direction of the normals moves each effect. */
function effectsAlong(c: Compiled, along: ArrayLike<number>): Float64Array {
  return Float64Array.from(c.effectSpread, (row) => dot(along, row));
}

/** What the part under way says about the pace: the direction, its points, and the spread about them. */
interface Spoken {
  direction: Float64Array | undefined;
  shifts: number[];
  shiftSd: number;
  step: number;
}

const UNSPOKEN: Spoken = { direction: undefined, shifts: [0], shiftSd: 1, step: 0 };

function spokenOf(c: Compiled, u: UnderWay, part: LegPart, pull: Pull, spacing: number): Spoken {
  const { sigma } = part.span;
  const paceVariance = u.sd * u.sd - sigma * sigma;
  if (paceVariance < 1e-12) return UNSPOKEN;
  const normal = alongNormals(c, part.weights);
  const length = Math.sqrt(dot(normal, normal));
  const shiftSd = sigma / (Math.sqrt(paceVariance) * u.sd);
  const tail = (z: number): number => shiftBy(u, intoTail(z, u.aboveSd, u.survival));
  const low = tail(-REACH) - REACH * shiftSd;
  const high = tail(REACH) + REACH * shiftSd;
  const weight = meanWeight(pull.byGain, [1]);
  const step = spacing * Math.min(shiftSd, 1 / Math.max(weight, 1e-9));
  const direction = normal.map((x) => x / length);
  return { direction, shifts: evenPoints(low, high, step), shiftSd, step };
}

/** The paces of a compiled forecast. */
export function pacesOf(c: Compiled): Paces {
  for (let spacing = SPACING; ; spacing *= 1.25) {
    const paces = pacesAt(c, spacing);
    if (paces.all.length <= POINTS_MAX || spacing > 20 * SPACING) return paces;
  }
}

function pacesAt(c: Compiled, spacing: number): Paces {
  const { underWay: u, state, layout } = c;
  const size = layout.effects;
  const pull = pullOf(c);
  let rows = pull.byNormal;
  let spoken = UNSPOKEN;
  if (u) {
    const leg = c.legs[state.leg] as Compiled['legs'][number];
    const part = state.underWay?.part === 'afterFixed' ? leg.afterFixed : leg.whole;
    spoken = spokenOf(c, u, part, pull, spacing);
    const { direction } = spoken;
    if (direction) rows = rows.map((row) => without(row, direction));
  }
  const unspread: Float64Array[] = [];
  const partySds = [evenSd(spoken.step) * (u?.gain[PARTY_EFFECT] ?? 0)];
  let all: Pace[] = spoken.shifts.map((by, shift) => ({
    effects: Float64Array.from(c.belief.mean, (mean, e) => mean + by * (u?.gain[e] ?? 0)),
    chance: 1,
    shift,
  }));
  for (const { along, weight } of principalDirections(rows, size)) {
    const moves = effectsAlong(c, along);
    const { points, about } = lineFor(weight, spacing);
    partySds.push(about * (moves[PARTY_EFFECT] as number));
    if (points.length === 1) unspread.push(moves);
    all = all.flatMap((pace) =>
      points.map(({ z, chance }) => ({
        effects: pace.effects.map((x, e) => x + z * (moves[e] as number)),
        chance: pace.chance * chance,
        shift: pace.shift,
      })),
    );
  }
  const partySd = Math.max(1e-6, Math.hypot(...partySds));
  return { all, shifts: spoken.shifts, shiftSd: spoken.shiftSd, partySd, unspread };
}

/** What the mean of e^(sum of effects) gains by the spread no point stands for: its logarithm. */
export function unspreadGain(paces: Paces, weights: ArrayLike<number>): number {
  return paces.unspread.reduce((sum, moves) => sum + dot(weights, moves) ** 2 / 2, 0);
}
