import { resolveSettings, type Settings } from './defaults.ts';
import { sensitivityDirections } from './directions.ts';
import { type Lattice, latticeAlong } from './lattice.ts';
import { type Layout, layoutOf } from './layout.ts';
import { expectedMin, FIRST_LEADER_EFFECT, type Leg, legsOf } from './legs.ts';
import type { ForecastInput } from './model.ts';
import { nightRules } from './night-rules.ts';
import { goOn, type NightRules } from './nights.ts';
import { normalSurvival } from './normal.ts';
import { type Measure, observationsOf, pausesOf } from './observations.ts';
import {
  cholesky,
  linearCombination,
  type MultivariateNormal,
  matrixVector,
  posteriorCovariance,
  posteriorOf,
} from './pace.ts';
import { currentLeg, type PartyState, partyState } from './state.ts';
import { type WayOut, wayOut } from './way-out.ts';
import { type WorkClock, workClock } from './work-clock.ts';

/** The part under way: its time and the pace are drawn together, given that it isn't done yet. */
export interface UnderWay {
  /** log of the part's time: mean and standard deviation before the time spent is known. */
  mean: number;
  sd: number;
  spentMin: number;
  /** Where log(time spent) lies in that normal, in standard deviations, and the chance beyond it. */
  aboveSd: number;
  survival: number;
  /** How far the effects shift for each unit of (log time − mean)/variance, and the outlier's limit on that. */
  gain: number[];
  shiftMax: number;
  /** The work left goes on from here, minutes since now. */
  fromMin: number;
}

/** How far the effects shift, in `gain`s, when the part's time lies `z` standard deviations off. */
export function effectShift({ sd, shiftMax }: UnderWay, z: number): number {
  return Math.min(shiftMax, Math.max(-shiftMax, z / sd));
}

/** Everything about a forecast that is the same in all its ascents. Times are minutes since now. */
export interface Compiled {
  input: ForecastInput;
  settings: Settings;
  legs: Leg[];
  posterior: MultivariateNormal;
  /** Observations the belief rests on, in all and by leader. */
  observations: number;
  leaderObservations: number[];
  state: PartyState;
  /** Always there, if only as undefined, like the lattice: one shape keeps the loop over ascents quick. */
  underWay: UnderWay | undefined;
  /** Lower triangle that turns standard normals into the effects' spread. */
  effectCholesky: number[][];
  clock: WorkClock;
  rules: NightRules;
  wayOut: WayOut;
  layout: Layout;
  lattice: Lattice | undefined;
}

function priorOf(climbers: number, s: Settings): MultivariateNormal {
  const sd = [s.priorParty, s.priorAid, ...new Array<number>(climbers).fill(s.priorLeader)];
  const covariance = sd.map((v, i) => sd.map((_, j) => (i === j ? v * v : 0)));
  return { mean: sd.map(() => 0), covariance };
}

function underWayOf(
  input: ForecastInput,
  state: PartyState,
  leg: Leg | undefined,
  posterior: MultivariateNormal,
  rules: NightRules,
  outlierK: number,
): { underWay: UnderWay; covariance: number[][] } | undefined {
  if (!state.underWay || !leg) return undefined;
  const { span, weights } = state.underWay.part === 'whole' ? leg.whole : leg.afterFixed;
  const pace = linearCombination(posterior, weights);
  const mean = span.mu + pace.mean;
  const sd = Math.hypot(pace.sd, span.sigma);
  const { spentMin } = state.underWay;
  const aboveSd = spentMin > 0 ? (Math.log(spentMin) - mean) / sd : Number.NEGATIVE_INFINITY;
  const { resumeMin } = state;
  const unsure = input.startUnsure === true && state.leg === 0;
  return {
    underWay: {
      mean,
      sd,
      spentMin,
      aboveSd,
      survival: normalSurvival(aboveSd),
      gain: unsure ? weights.map(() => 0) : matrixVector(posterior.covariance, weights),
      shiftMax: outlierK / span.sigma,
      // After a hold or a night the rest of the pitch obeys the same hours as a new one.
      fromMin: resumeMin > 0 ? goOn(rules, state.leg, resumeMin, 1) : 0,
    },
    covariance: unsure
      ? posterior.covariance
      : posteriorCovariance(posterior.covariance, weights, span.sigma),
  };
}

/**
 * Reads the input once: settings, stages, pace learnt, the party's state, clocks and rules.
 *
 * @param evenly false draws every ascent by chance alone, as a check on the lattice
 * @throws RangeError when there are no pitches or days, or for a setting out of range
 */
export function compile(input: ForecastInput, evenly = true): Compiled {
  if (input.pitches.length === 0) throw new RangeError('no pitches');
  if (input.days.length === 0) throw new RangeError('no days');
  const settings = resolveSettings(input.settings);
  const legs = legsOf(input, settings);
  const clock = workClock(input.days, settings.darkFactor, input.nowMs);
  const measure: Measure = { input, settings, clock, pauses: pausesOf(input) };
  const current = currentLeg(measure, legs);
  const prior = priorOf(input.climbers.length, settings);
  const observations = observationsOf(measure, legs, current);
  const posterior = posteriorOf(prior, observations, settings.outlierK);
  const expected = expectedMin(legs, posterior);
  const rules = nightRules(input, legs, expected, settings);
  const state = partyState(measure, legs, current, rules);
  const under = underWayOf(input, state, legs[state.leg], posterior, rules, settings.outlierK);
  const compiled: Compiled = {
    input,
    settings,
    legs,
    posterior,
    observations: observations.length,
    leaderObservations: input.climbers.map(
      (_, c) => observations.filter((o) => (o.weights[FIRST_LEADER_EFFECT + c] ?? 0) > 0).length,
    ),
    state,
    underWay: under?.underWay,
    effectCholesky: cholesky(under?.covariance ?? posterior.covariance),
    clock,
    rules,
    wayOut: wayOut(input, settings),
    layout: layoutOf(input, legs.length, current),
    lattice: undefined,
  };
  if (evenly) compiled.lattice = latticeAlong(sensitivityDirections(compiled), input.seed);
  return compiled;
}
