import type { Leg } from '../legs.ts';
import { type Lognormal, lognormalFrom } from '../moments.ts';
import { normalQuantile } from '../normal.ts';
import { type CentralMoments, centralMoments, rawMoment } from './central-moments.ts';
import { quickCdf } from './duration.ts';

/**
 * How much later than everybody else the third of a pitch is up: in `widthMin` wide slices, the chance
 * that it is later than the slice's middle. At the pace of an average party.
 */
export interface Lag {
  widthMin: number;
  later: Float64Array;
}

const SLICES = 48;
const CHANGEOVERS = 24;
const FAR_SD = 4.3;
/** A wait of less than this, in minutes on average, is none. */
const NONE_MIN = 1e-3;

/** The third's lag behind the changeover after `below`; undefined without a third, or where it never matters. */
export function lagOf(below: Leg | undefined): Lag | undefined {
  const third = below?.stages.third;
  const changeover = below?.stages.changeover;
  if (!third || !changeover) return undefined;
  const widthMin = Math.exp(third.mu + FAR_SD * third.sigma) / SLICES;
  const ends = Array.from({ length: CHANGEOVERS }, (_, i) =>
    Math.exp(changeover.mu + changeover.sigma * normalQuantile((i + 0.5) / CHANGEOVERS)),
  );
  const later = Float64Array.from({ length: SLICES }, (_, i) => {
    const lag = (i + 0.5) * widthMin;
    return ends.reduce((sum, end) => sum + above(third, lag + end), 0) / CHANGEOVERS;
  });
  return { widthMin, later };
}

function above({ mu, sigma }: Lognormal, min: number): number {
  return quickCdf((mu - Math.log(min)) / sigma);
}

/**
 * Central moments of the longer of a time and the lag: E[max(X, L)^n] = E[X^n] + ∫ n·x^(n−1)·P(X ≤ x)·P(L > x) dx.
 * The lag is taken as independent of how long the changeover took that it hides behind.
 *
 * @param time lead and anchor, in the lag's measure of pace
 */
export function afterLag(time: CentralMoments, lag: Lag): CentralMoments {
  const { mu, sigma } = lognormalFrom(time);
  const { widthMin, later } = lag;
  const gain = [0, 0, 0];
  for (let i = 0; i < SLICES; i++) {
    const x = (i + 0.5) * widthMin;
    const waits = quickCdf((Math.log(x) - mu) / sigma) * (later[i] as number) * widthMin;
    for (let n = 1; n <= 3; n++) gain[n - 1] = (gain[n - 1] as number) + waits * n * x ** (n - 1);
  }
  if ((gain[0] as number) < NONE_MIN) return time;
  return centralMoments((n) => rawMoment(time, n) + (gain[n - 1] as number));
}
