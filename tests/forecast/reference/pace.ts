import type { ForecastInput } from '../../../src/forecast/model.ts';
import { type RefLeg, type Stage, setting } from './stages.ts';

/**
 * Mean of the effects and their covariance, after what was told: party, aid, haul, changeover, each leader free and on
 * aid, two terms of the drift, four days.
 */
export interface RefBelief {
  mean: number[];
  cov: number[][];
  /** The party's effect has a law of its own: its values, and the chance up to each. */
  party: { value: number; upTo: number }[];
  /** How much further than usual what lies on the late side strays, and what lies on the early side. */
  late: number;
  early: number;
}

/** Normal distribution function, Abramowitz and Stegun 7.1.26 (1.5e-7). */
function phi(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const poly =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const erf = 1 - poly * Math.exp(-x * x);
  return z >= 0 ? 0.5 * (1 + erf) : 0.5 * (1 - erf);
}

/** Raw moments of max(X, Y) by adding up x^n d(F·G) on a fine grid. */
function maxMoments(x: Stage, y: Stage): { mean: number; second: number } {
  const joint = (v: number): number =>
    phi((Math.log(v) - Math.log(x.median)) / x.sigma) *
    phi((Math.log(v) - Math.log(y.median)) / y.sigma);
  const low = Math.log(Math.min(x.median, y.median)) - 8 * Math.max(x.sigma, y.sigma);
  const high = Math.log(Math.max(x.median, y.median)) + 8 * Math.max(x.sigma, y.sigma);
  const steps = 4000;
  let mean = 0;
  let second = 0;
  let before = 0;
  for (let i = 1; i <= steps; i++) {
    const v = Math.exp(low + ((high - low) * i) / steps);
    const middle = Math.exp(low + ((high - low) * (i - 0.5)) / steps);
    const mass = joint(v) - before;
    before += mass;
    mean += mass * middle;
    second += mass * middle * middle;
  }
  return { mean, second };
}

interface Part {
  mean: number;
  variance: number;
}

const moments = (stage: Stage): Part => {
  const mean = stage.median * Math.exp(stage.sigma ** 2 / 2);
  return { mean, variance: mean ** 2 * (Math.exp(stage.sigma ** 2) - 1) };
};

function side(leg: RefLeg): Part {
  if (!leg.haul) return moments(leg.follow);
  const { mean, second } = maxMoments(leg.haul, leg.follow);
  return { mean, variance: second - mean ** 2 };
}

export interface RefObservation {
  logRatio: number;
  weights: number[];
  sigma: number;
}

type Piece = 'whole' | 'untilFixed' | 'afterFixed';

/** What stretches a stage of a leg on that day: pairs of an effect's index and how much of it. */
export function pulls(
  input: ForecastInput,
  leg: RefLeg,
  stage: Pick<Stage, 'leader' | 'aid' | 'haul' | 'change'>,
  day: number,
): [number, number][] {
  const leaders = 4;
  const drift = leaders + 2 * input.climbers.length;
  const out: [number, number][] = [[0, 1]];
  if (stage.aid) out.push([1, 1]);
  if (stage.haul) out.push([2, 1]);
  if (stage.change) out.push([3, 1]);
  if (stage.leader) out.push([leaders + 2 * leg.leader + (leg.onAid ? 1 : 0), 1]);
  // A Wiener process on the route: √2 sin((j − ½)πx)/((j − ½)π), j = 1, 2.
  for (const j of [1, 2]) {
    const w = (j - 0.5) * Math.PI;
    out.push([drift + j - 1, (Math.sqrt(2) * Math.sin(w * leg.place)) / w]);
  }
  out.push([drift + 2 + Math.min(day, 3), 1]);
  return out;
}

/** How likely the haul takes longer than following. */
function haulLonger(leg: RefLeg): number {
  const { haul, follow } = leg;
  if (!haul) return 0;
  return phi(Math.log(haul.median / follow.median) / Math.hypot(haul.sigma, follow.sigma));
}

/** One told stretch over some legs of one day, as an observation of the effects. */
export function observe(
  input: ForecastInput,
  legs: RefLeg[],
  piece: Piece,
  workMin: number,
  day = 0,
): RefObservation {
  const extra = setting(input, 'sigmaPitch');
  const own: { mean: number; variance: number; sigma: number; median: number }[] = [];
  const pulled = new Array<number>(10 + 2 * input.climbers.length).fill(0);
  let total = 0;
  for (const leg of legs) {
    let mean = 0;
    let variance = 0;
    const shares: { part: number; stage: Pick<Stage, 'leader' | 'aid' | 'haul' | 'change'> }[] = [];
    const add = (part: Part, stage: Pick<Stage, 'leader' | 'aid' | 'haul' | 'change'>): void => {
      mean += part.mean;
      variance += part.variance;
      shares.push({ part: part.mean, stage });
    };
    if (piece !== 'afterFixed') {
      add(moments(leg.lead), leg.lead);
      add(moments(leg.fix), leg.fix);
    }
    if (piece !== 'untilFixed') {
      const both = side(leg);
      const hauling = haulLonger(leg);
      add(both, leg.follow);
      if (leg.haul) {
        (shares.at(-1) as { part: number }).part *= 1 - hauling;
        shares.push({ part: both.mean * hauling, stage: leg.haul });
      }
      const end = leg.change ?? leg.third;
      if (end) add(moments(end), end);
    }
    const narrow = Math.sqrt(Math.log(1 + variance / mean ** 2));
    const median = mean * Math.exp(-(narrow ** 2) / 2);
    const sigma = Math.hypot(narrow, extra);
    const wide = median * Math.exp(sigma ** 2 / 2);
    own.push({ mean: wide, variance: wide ** 2 * (Math.exp(sigma ** 2) - 1), sigma, median });
    for (const { part, stage } of shares) {
      for (const [effect, much] of pulls(input, leg, stage, day)) {
        pulled[effect] = (pulled[effect] as number) + (much * wide * part) / mean;
      }
    }
    total += wide;
  }
  const [one] = own as [(typeof own)[number]];
  const variance = own.reduce((sum, o) => sum + o.variance, 0);
  const summed = Math.sqrt(Math.log(1 + variance / total ** 2));
  const sigma = own.length === 1 ? one.sigma : summed;
  const median = own.length === 1 ? one.median : total * Math.exp(-(summed ** 2) / 2);
  return { logRatio: Math.log(workMin / median), weights: pulled.map((w) => w / total), sigma };
}

function inverse(matrix: number[][]): number[][] {
  const n = matrix.length;
  const m = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let i = 0; i < n; i++) {
    const pivot = m[i]?.[i] as number;
    m[i] = (m[i] as number[]).map((x) => x / pivot);
    for (let r = 0; r < n; r++) {
      if (r === i) continue;
      const f = m[r]?.[i] as number;
      m[r] = (m[r] as number[]).map((x, j) => x - f * (m[i]?.[j] as number));
    }
  }
  return m.map((row) => row.slice(n));
}

/** Degrees of freedom of the noise. */
const FREEDOM = 4;

/** Chances that the party is of each class, efficient first, by what it says of itself. */
function classes(input: ForecastInput): number[] | undefined {
  const s = (name: string): number => setting(input, name);
  switch (input.party) {
    case 'efficient':
      return [s('holdsEfficient'), 1 - s('holdsEfficient'), 0];
    case 'average': {
      const other = (1 - s('holdsAverage')) / 2;
      return [other, s('holdsAverage'), other];
    }
    case 'first':
      return [0, 1 - s('holdsFirst'), s('holdsFirst')];
    default:
      return undefined;
  }
}

const bell = (x: number, mean: number, sd: number): number =>
  Math.exp(-(((x - mean) / sd) ** 2) / 2) / sd;

/** Density of the party's effect beforehand, up to a factor, and its moments by adding up on a grid. */
function partyBefore(input: ForecastInput) {
  const s = (name: string): number => setting(input, name);
  const chances = classes(input);
  const paces = ['paceEfficient', 'paceAverage', 'paceFirst'].map((name) => Math.log(s(name)));
  const density = (x: number): number =>
    chances === undefined
      ? bell(x, Math.log(s('paceUnknown')), s('priorParty'))
      : chances.reduce((sum, c, i) => sum + c * bell(x, paces[i] as number, s('priorClass')), 0);
  return { density, ...gridMoments(density) };
}

const GRID = Array.from({ length: 16_001 }, (_, i) => -4 + i / 2000);

function gridMoments(density: (x: number) => number): { mean: number; sd: number } {
  let all = 0;
  let first = 0;
  let second = 0;
  for (const x of GRID) {
    const d = density(x);
    all += d;
    first += d * x;
    second += d * x * x;
  }
  const mean = first / all;
  return { mean, sd: Math.sqrt(second / all - mean ** 2) };
}

/** What is believed beforehand, but for the party: medians and spreads as the figures have them. */
function before(input: ForecastInput): { mean: number[]; sd: number[] } {
  const s = (name: string): number => setting(input, name);
  const leaders = input.climbers.flatMap(() => [s('priorLeader'), s('priorLeaderAid')]);
  const rest = [...Array(2).fill(s('priorDrift')), ...Array(4).fill(s('priorDay'))];
  const common = [s('priorAid'), s('priorHaul'), s('priorChangeover'), ...leaders, ...rest];
  const party = partyBefore(input);
  return { mean: [party.mean, ...common.map(() => 0)], sd: [party.sd, ...common] };
}

/**
 * Posterior in information form. The mean by iteratively reweighted least squares with the weights of Student's t, whose
 * pull stays what it is at √ν scales beyond them; the covariance from the information a t holds, (ν + 1)/(ν + 3) of a normal's.
 */
function normalBelief(input: ForecastInput, seen: RefObservation[]) {
  const prior = before(input);
  const { sd } = prior;
  const solve = (weights: number[]): { mean: number[]; cov: number[][] } => {
    const info = sd.map((v, i) => sd.map((_, j) => (i === j ? 1 / v ** 2 : 0)));
    const right = sd.map((v, i) => (prior.mean[i] as number) / v ** 2);
    seen.forEach((o, s) => {
      const w = (weights[s] as number) / o.sigma ** 2;
      for (let i = 0; i < sd.length; i++) {
        right[i] = (right[i] as number) + w * (o.weights[i] as number) * o.logRatio;
        for (let j = 0; j < sd.length; j++) {
          const row = info[i] as number[];
          row[j] = (row[j] as number) + w * (o.weights[i] as number) * (o.weights[j] as number);
        }
      }
    });
    const cov = inverse(info);
    return {
      mean: cov.map((row) => row.reduce((sum, c, j) => sum + c * (right[j] as number), 0)),
      cov,
    };
  };
  const plain = solve(seen.map(() => (FREEDOM + 1) / (FREEDOM + 3)));
  let mean = plain.mean;
  for (let round = 0; round < 300 && seen.length > 0; round++) {
    const weights = seen.map((o) => {
      const u = Math.abs(o.logRatio - expectedOf(o, mean)) / o.sigma;
      const peak = Math.sqrt(FREEDOM);
      if (u <= peak) return (FREEDOM + 1) / (FREEDOM + u * u);
      return (FREEDOM + 1) / (2 * peak * u);
    });
    mean = solve(weights).mean;
  }
  return { mean, cov: plain.cov };
}

/**
 * How uneven the stretches were: each against what a normal model without it says of it, at the same weights. Four more
 * that are as they should be are added, and the root of the mean square of each side taken; none is below one.
 */
function uneven(seen: RefObservation[], mean: number[], cov: number[][]) {
  const squares = { late: 4, early: 4 };
  for (const o of seen) {
    const own = o.sigma ** 2 * ((FREEDOM + 3) / (FREEDOM + 1));
    const known = o.weights.reduce(
      (sum, w, i) => sum + w * o.weights.reduce((s, v, j) => s + v * (cov[i]?.[j] as number), 0),
      0,
    );
    // Without it, it would be known by 1/(1/known − 1/own), and lie that much further off.
    const without = 1 / (1 / known - 1 / own);
    const off = ((o.logRatio - expectedOf(o, mean)) * (own + without)) / own;
    const far = Math.min(4, Math.abs(off) / Math.sqrt(own + without));
    squares[off > 0 ? 'late' : 'early'] += 2 * far ** 2;
  }
  const side = (sum: number): number => Math.max(1, Math.sqrt(sum / (4 + seen.length)));
  return { late: side(squares.late), early: side(squares.early) };
}

const expectedOf = (o: RefObservation, mean: number[]): number =>
  o.weights.reduce((sum, w, i) => sum + w * (mean[i] as number), 0);

/**
 * What is believed after what was told. The party's own law is put in on a grid, in place of the normal with its moments;
 * what hangs on the party goes with it.
 */
export function refBelief(input: ForecastInput, seen: RefObservation[]): RefBelief {
  const { mean, cov } = normalBelief(input, seen);
  const prior = partyBefore(input);
  const [m] = mean as [number];
  const variance = cov[0]?.[0] as number;
  const density = (x: number): number => {
    const told = -((x - m) ** 2) / (2 * variance) + (x - prior.mean) ** 2 / (2 * prior.sd ** 2);
    return prior.density(x) * Math.exp(told);
  };
  const after = gridMoments(density);
  let all = 0;
  const party = GRID.map((value) => {
    all += density(value);
    return { value, upTo: all };
  }).map(({ value, upTo }) => ({ value, upTo: upTo / all }));
  const along = cov.map((row) => (row[0] as number) / variance);
  const stretched = after.sd ** 2 - variance;
  return {
    mean: mean.map((v, i) => v + (along[i] as number) * (after.mean - m)),
    cov: cov.map((row, i) =>
      row.map((v, j) => v + (along[i] as number) * (along[j] as number) * stretched),
    ),
    party,
    ...uneven(seen, mean, cov),
  };
}
