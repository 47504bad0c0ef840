import type { Settings } from './defaults.ts';
import { normalCdf, normalQuantile, normalSurvival } from './normal.ts';
import { expFast } from './random.ts';

/** Beyond this many scales the noise isn't drawn: e^2 is a pitch that takes more than seven times as long. */
const MOST_SCALES = 8;
const Z_MOST = 4.5;
const STEPS = 32;

/**
 * Quantile of Student's t with four degrees of freedom, in closed form (Shaw 2006, J. Comput. Finance 9/4, 37–73).
 *
 * @param tail the chance beyond, 0–½; the quantile is that far above 0
 */
export function studentQuantile4(tail: number): number {
  const alpha = 4 * tail * (1 - tail);
  const root = Math.sqrt(alpha);
  return 2 * Math.sqrt(Math.max(0, Math.cos(Math.acos(Math.min(1, root)) / 3) / root - 1));
}

const table = Float64Array.from({ length: Z_MOST * STEPS + 2 }, (_, i) =>
  Math.min(MOST_SCALES, studentQuantile4(normalSurvival(i / STEPS))),
);

/** A draw of the noise of a pitch, in scales: Student's t with as much chance below it as the normal `z` has. */
export function studentAt(z: number): number {
  const far = Math.min(Z_MOST, z < 0 ? -z : z) * STEPS;
  const i = far | 0;
  const low = table[i] as number;
  const t = low + (far - i) * ((table[i + 1] as number) - low);
  return z < 0 ? -t : t;
}

/** Incidents: the chance of one on a pitch, and how long it lasts: a lognormal in minutes. */
export interface Incidents {
  chance: number;
  /** A normal above this is an incident. */
  fromZ: number;
  mu: number;
  sigma: number;
}

/** Incidents as the figures have them. */
export function incidentsOf(s: Settings): Incidents {
  const chance = s.incidentChance;
  return {
    chance,
    fromZ: chance > 0 ? normalQuantile(1 - chance) : Number.POSITIVE_INFINITY,
    mu: Math.log(s.incidentMin),
    sigma: s.sigmaIncident,
  };
}

/** Minutes lost to an incident on a pitch whose luck is `z`; 0 mostly. The worse the luck, the more. */
export function incidentMin({ chance, fromZ, mu, sigma }: Incidents, z: number): number {
  if (z <= fromZ) return 0;
  const within = 1 - Math.max(1e-9, normalSurvival(z)) / chance;
  return expFast(mu + sigma * normalQuantile(Math.min(1 - 1e-9, Math.max(1e-9, within))));
}

/** Nodes and weights of the noise, for sums over it. */
export const STUDENT_NODES: readonly { t: number; weight: number }[] = Array.from(
  { length: 17 },
  (_, i) => {
    const z = (i - 8) / 2;
    const low = i === 0 ? 0 : normalCdf(z - 0.25);
    const high = i === 16 ? 1 : normalCdf(z + 0.25);
    return { t: studentAt(z), weight: high - low };
  },
);
