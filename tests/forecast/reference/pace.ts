import type { ForecastInput } from '../../../src/forecast/model.ts';
import { type RefLeg, type Stage, setting } from './stages.ts';

/** Mean of the effects (party, aid, leaders) and their covariance, after what was told. */
export interface RefBelief {
  mean: number[];
  cov: number[][];
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

/** One told stretch over some legs, as a normal observation of the effects. */
export function observe(
  input: ForecastInput,
  legs: RefLeg[],
  piece: Piece,
  workMin: number,
): RefObservation {
  let mean = 0;
  let variance = 0;
  const size = 2 + input.climbers.length;
  const pulled = new Array<number>(size).fill(0);
  for (const leg of legs) {
    const add = (part: Part, leader: boolean, aid: boolean): void => {
      mean += part.mean;
      variance += part.variance;
      pulled[0] = (pulled[0] as number) + part.mean;
      if (aid) pulled[1] = (pulled[1] as number) + part.mean;
      if (leader) pulled[2 + leg.leader] = (pulled[2 + leg.leader] as number) + part.mean;
    };
    if (piece !== 'afterFixed') {
      add(moments(leg.lead), true, leg.lead.aid);
      add(moments(leg.fix), true, false);
    }
    if (piece !== 'untilFixed') {
      add(side(leg), false, leg.follow.aid);
      const end = leg.change ?? leg.third;
      if (end) add(moments(end), false, false);
    }
  }
  const sigma = Math.sqrt(Math.log(1 + variance / mean ** 2));
  return {
    logRatio: Math.log(workMin) - (Math.log(mean) - sigma ** 2 / 2),
    weights: pulled.map((w) => w / mean),
    sigma,
  };
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

/** Posterior in information form; outliers by iteratively reweighted least squares with Huber's weights. */
export function refBelief(input: ForecastInput, seen: RefObservation[]): RefBelief {
  const sd = [
    setting(input, 'priorParty'),
    setting(input, 'priorAid'),
    ...input.climbers.map(() => setting(input, 'priorLeader')),
  ];
  const k = setting(input, 'outlierK');
  const solve = (weights: number[]): { mean: number[]; cov: number[][] } => {
    const info = sd.map((v, i) => sd.map((_, j) => (i === j ? 1 / v ** 2 : 0)));
    const right = sd.map(() => 0);
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
  const plain = solve(seen.map(() => 1));
  let mean = plain.mean;
  for (let round = 0; round < 300; round++) {
    const weights = seen.map((o) => {
      const fit = o.weights.reduce((sum, w, i) => sum + w * (mean[i] as number), 0);
      return Math.min(1, (k * o.sigma) / Math.max(1e-12, Math.abs(o.logRatio - fit)));
    });
    mean = solve(weights).mean;
  }
  return { mean, cov: plain.cov };
}
