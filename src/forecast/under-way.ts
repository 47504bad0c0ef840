import type { Leg, LegPart } from './legs.ts';
import { normalQuantile, normalSurvival } from './normal.ts';
import {
  effectiveScale,
  FREEDOM,
  linearCombination,
  type MultivariateNormal,
  matrixVector,
  posteriorCovariance,
  scoreAt,
} from './pace.ts';
import { type Incidents, STUDENT_NODES } from './tails.ts';
import { type Unevenness, widened } from './uneven.ts';

/** The part under way: its time and the effects are drawn together, given that it isn't done yet. */
export interface UnderWay {
  /** Work spent on it, minutes. */
  spentMin: number;
  /** The chance, before the time spent is known, that it takes longer than that. */
  survival: number;
  /** log of the part's whole time, given the time spent: its quantiles at normals from −Z to Z, evenly. */
  logTimes: Float64Array;
  /** log of its time before the time spent is known: mean, and variance with the noise's information. */
  mean: number;
  variance: number;
  /** How far the effects shift for each unit of (log time − mean)/variance, and the noise's limit on that. */
  gain: number[];
  shiftMax: number;
  /** The work left goes on from here, minutes since now. */
  fromMin: number;
}

const Z_MOST = 4;
const POINTS = 129;
const GRID = 112;
const INCIDENT_NODES = [0.1, 0.3, 0.5, 0.7, 0.9].map((p) => normalQuantile(p));

/** How far the effects shift, in `gain`s, when the part's time has this logarithm. */
export function effectShift({ mean, variance, shiftMax }: UnderWay, logTime: number): number {
  return Math.min(shiftMax, Math.max(-shiftMax, (logTime - mean) / variance));
}

/** log of the part's whole time for a normal `z`. */
export function logTimeAt({ logTimes }: UnderWay, z: number): number {
  const place = ((Math.min(Z_MOST, Math.max(-Z_MOST, z)) + Z_MOST) * (POINTS - 1)) / (2 * Z_MOST);
  const i = Math.min(POINTS - 2, place | 0);
  const low = logTimes[i] as number;
  return low + (place - i) * ((logTimes[i + 1] as number) - low);
}

/** What the part's time is made of: a normal logarithm, the pitch's heavy-tailed noise on it, and incidents on top. */
interface PartLaw {
  mean: number;
  sd: number;
  scale: number;
  uneven: Unevenness;
  incidents: Incidents | undefined;
}

/** Chance that the part takes longer than e^x minutes. */
function survivalAt({ mean, sd, scale, uneven, incidents }: PartLaw, x: number): number {
  const plain = (log: number): number => {
    const from = (log - mean) / sd;
    const step = scale / sd;
    let sum = 0;
    for (const { t, weight } of STUDENT_NODES) {
      sum += weight * normalSurvival(from - step * widened(t, uneven));
    }
    return sum;
  };
  if (incidents === undefined || incidents.chance === 0) return plain(x);
  const { chance, mu, sigma } = incidents;
  const delayed = INCIDENT_NODES.reduce((sum, z) => {
    const left = Math.exp(x) - Math.exp(mu + sigma * z);
    return sum + (left > 0 ? plain(Math.log(left)) : 1);
  }, 0);
  return (1 - chance) * plain(x) + (chance * delayed) / INCIDENT_NODES.length;
}

/** The quantiles of log time beyond the time spent. */
function quantilesBeyond(law: PartLaw, logSpent: number, survival: number): Float64Array {
  const out = new Float64Array(POINTS);
  const { mean, sd, scale, uneven } = law;
  const low = Math.max(logSpent, mean - 8 * scale * uneven.sooner - 5 * sd);
  const high = Math.max(low + 1, mean + 8 * scale * uneven.later + 5 * sd);
  const chances = Array.from(
    { length: GRID + 1 },
    (_, g) => survivalAt(law, low + ((high - low) * g) / GRID) / survival,
  );
  let g = 0;
  for (let j = 0; j < POINTS; j++) {
    const wanted = normalSurvival(-Z_MOST + (2 * Z_MOST * j) / (POINTS - 1));
    while (g < GRID && (chances[g + 1] as number) > wanted) g++;
    const [above, below] = [chances[g] as number, chances[g + 1] ?? 0];
    const within = above > below ? Math.min(1, Math.max(0, (above - wanted) / (above - below))) : 0;
    out[j] = low + ((high - low) * (g + within)) / GRID;
  }
  return out;
}

/** Where the chance to be so late is too small to be worked with: then what is left is a share of the time spent. */
const SMALLEST = 1e-12;

function beyondAll(logSpent: number): Float64Array {
  return Float64Array.from({ length: POINTS }, (_, j) => {
    const beyond = normalSurvival(-Z_MOST + (2 * Z_MOST * j) / (POINTS - 1));
    return logSpent - 0.25 * Math.log(beyond);
  });
}

/**
 * The law of the part under way, and what is still believed of the effects beside it.
 *
 * @param unsure the time spent may not be climbing at all: nothing is learnt of it
 */
export function underWayOf(
  leg: Leg,
  part: 'whole' | 'afterFixed',
  spentMin: number,
  posterior: MultivariateNormal,
  noise: { sigmaPitch: number; incidents: Incidents; uneven: Unevenness },
  unsure: boolean,
): { underWay: Omit<UnderWay, 'fromMin'>; covariance: number[][] } {
  const { span, weights }: LegPart = part === 'whole' ? leg.whole : leg.afterFixed;
  const pace = linearCombination(posterior, weights);
  const law: PartLaw = {
    mean: span.mu + pace.mean,
    sd: Math.hypot(pace.sd, span.sigma),
    scale: noise.sigmaPitch,
    uneven: noise.uneven,
    // Incidents are taken to happen on the lead.
    incidents: part === 'whole' ? noise.incidents : undefined,
  };
  const logSpent = spentMin > 0 ? Math.log(spentMin) : Number.NEGATIVE_INFINITY;
  const survival = spentMin > 0 ? survivalAt(law, logSpent) : 1;
  const scale = Math.hypot(span.sigma, noise.sigmaPitch);
  const own = effectiveScale(scale, FREEDOM);
  return {
    underWay: {
      spentMin,
      survival,
      logTimes:
        survival > SMALLEST ? quantilesBeyond(law, logSpent, survival) : beyondAll(logSpent),
      mean: law.mean,
      variance: pace.sd ** 2 + own ** 2,
      gain: unsure ? weights.map(() => 0) : matrixVector(posterior.covariance, weights),
      shiftMax: scoreAt(Number.MAX_VALUE, FREEDOM) / scale,
    },
    covariance: unsure
      ? posterior.covariance
      : posteriorCovariance(posterior.covariance, weights, own),
  };
}
