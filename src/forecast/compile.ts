import { resolveSettings, type Settings } from './defaults.ts';
import { sensitivityDirections } from './directions.ts';
import { newAscent } from './draw.ts';
import { leaderEffect, PARTY_EFFECT, partyBelief, priorOf } from './effects.ts';
import { type Lattice, latticeAlong } from './lattice.ts';
import { layOut, newTimeline } from './lay-out.ts';
import { type Layout, layoutOf } from './layout.ts';
import { expectedMin, type Leg, legsOf, setDay } from './legs.ts';
import { momentsOf, type Shape, shapeOf, updated } from './mixture.ts';
import type { ForecastInput } from './model.ts';
import { nightRules } from './night-rules.ts';
import { dayOf, goOn, type NightRules } from './nights.ts';
import {
  doneAt,
  fixedAt,
  type Measure,
  observationsOf,
  pausesOf,
  startedAt,
} from './observations.ts';
import {
  beliefOf,
  cholesky,
  type MultivariateNormal,
  type Observation,
  posteriorOf,
  withBelief,
} from './pace.ts';
import { type RainRules, rainRules } from './rain.ts';
import { currentLeg, type PartyState, partyState } from './state.ts';
import { type Incidents, incidentsOf } from './tails.ts';
import { type UnderWay, underWayOf } from './under-way.ts';
import { type Unevenness, unevennessOf } from './uneven.ts';
import { type WayOut, wayOut } from './way-out.ts';
import { type WorkClock, workClock } from './work-clock.ts';

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
  /** The same, but for what depends on the times that were told: what the lattice is laid along. */
  steadyCholesky: number[][];
  /** Shape of what is believed of the party; undefined: normal. */
  partyShape: Shape | undefined;
  uneven: Unevenness;
  incidents: Incidents;
  /** How late the climb may begin against its plan, minutes; 0 once it has begun. */
  startSpreadMin: number;
  clock: WorkClock;
  rules: NightRules;
  wayOut: WayOut;
  rain: RainRules | undefined;
  layout: Layout;
  lattice: Lattice | undefined;
}

/** Day of the trip a moment falls on, counted from 0. */
function dayOfTrip(input: ForecastInput, ms: number): number {
  let day = 0;
  input.days.forEach(({ startMs }, d) => {
    if (startMs <= ms) day = d;
  });
  return day;
}

/** The days of what is done, or begun, by what was told. */
function setPastDays(m: Measure, legs: readonly Leg[]): void {
  const { input } = m;
  for (const leg of legs) {
    const told = startedAt(m, leg) ?? fixedAt(m, leg) ?? doneAt(m, leg);
    if (told !== undefined) setDay(leg, dayOfTrip(input, told), input.climbers.length);
  }
}

/** The days of what is to come, by the median ascent: an effect is its day's, and which day a leg falls on is known well enough. */
function setDaysAhead(c: Compiled, expected: readonly number[]): void {
  const median = newAscent(c);
  const { leg, underWay } = c.state;
  median.workMin.set(expected);
  const left = (expected[leg] ?? 0) - (underWay?.spentMin ?? 0);
  if (c.underWay) median.workMin[leg] = Math.max(0.25 * (expected[leg] as number), left);
  const line = newTimeline(c);
  layOut(c, median, line);
  const { startMin } = c.rules;
  c.legs.slice(leg).forEach((ahead, i) => {
    const beginMin = line.beginMin[leg + i] as number;
    if (ahead.day >= 0) return;
    const day = beginMin < Number.POSITIVE_INFINITY ? dayOf(startMin, beginMin) : startMin.length;
    setDay(ahead, Math.max(0, day), c.input.climbers.length);
  });
}

/** What was told, and what is believed of the effects by it. */
export function learn(input: ForecastInput) {
  const settings = resolveSettings(input.settings);
  const legs = legsOf(input, settings);
  const clock = workClock(input.days, settings.darkFactor, input.nowMs);
  const measure: Measure = { input, settings, clock, pauses: pausesOf(input) };
  const current = currentLeg(measure, legs);
  setPastDays(measure, legs);
  return { legs, clock, measure, current, ...believed(measure, legs, current) };
}

/** What is believed of the effects by the observations. */
function believed(m: Measure, legs: readonly Leg[], current: number) {
  const { input, settings } = m;
  const prior = priorOf(input, settings);
  const observations = observationsOf(m, legs, current);
  const plain = posteriorOf(prior, observations);
  const before = beliefOf(prior, PARTY_EFFECT);
  const after = beliefOf(plain, PARTY_EFFECT);
  const party = updated(partyBelief(input, settings), before, after);
  return {
    settings,
    observations,
    posterior: withBelief(plain, PARTY_EFFECT, momentsOf(party)),
    partyShape: shapeOf(party),
    uneven: unevennessOf(plain, observations),
    // What doesn't depend on the times told, so that the same posts leave the luck as it is.
    steady: plain.covariance,
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
  const { settings, legs, clock, measure, current, observations, posterior, ...learnt } =
    learn(input);
  const expected = expectedMin(legs, posterior);
  const rules = nightRules(input, legs, expected, settings);
  const state = partyState(measure, legs, current, rules);
  const begun = state.underWay ? legs[state.leg] : undefined;
  if (begun?.day === -1) {
    const sinceMs = input.nowMs + state.readyMin * 60_000;
    setDay(begun, dayOfTrip(input, sinceMs), input.climbers.length);
  }
  const incidents = incidentsOf(settings);
  const { uneven } = learnt;
  const under = underWay(input, legs, state, posterior, { settings, incidents, uneven, rules });
  const compiled: Compiled = {
    input,
    settings,
    legs,
    posterior,
    observations: observations.length,
    leaderObservations: input.climbers.map((_, c) => ledBy(observations, c)),
    state,
    underWay: under?.underWay,
    effectCholesky: cholesky(under?.covariance ?? posterior.covariance),
    steadyCholesky: cholesky(learnt.steady),
    partyShape: learnt.partyShape,
    uneven,
    incidents,
    startSpreadMin: current === 0 && !under ? settings.startSpreadMin : 0,
    clock,
    rules,
    wayOut: wayOut(input, settings),
    rain: rainRules(input, settings),
    layout: layoutOf(input, legs.length, current),
    lattice: undefined,
  };
  setDaysAhead(compiled, expected);
  if (evenly) compiled.lattice = latticeAlong(sensitivityDirections(compiled), input.seed);
  return compiled;
}

function ledBy(observations: readonly Observation[], climber: number): number {
  const led = [leaderEffect(climber, false), leaderEffect(climber, true)];
  return observations.filter((o) => led.some((effect) => (o.weights[effect] ?? 0) > 0)).length;
}

/** The part under way, if there is one. */
function underWay(
  input: ForecastInput,
  legs: readonly Leg[],
  state: PartyState,
  posterior: MultivariateNormal,
  known: { settings: Settings; incidents: Incidents; uneven: Unevenness; rules: NightRules },
): { underWay: UnderWay; covariance: number[][] } | undefined {
  const leg = legs[state.leg];
  if (!state.underWay || !leg) return undefined;
  const { part, spentMin } = state.underWay;
  const { incidents, settings, uneven, rules } = known;
  const noise = { sigmaPitch: settings.sigmaPitch, incidents, uneven };
  const unsure = input.startUnsure === true && state.leg === 0;
  const law = underWayOf(leg, part, spentMin, posterior, noise, unsure);
  const { resumeMin } = state;
  // After a hold or a night the rest of the pitch obeys the same hours as a new one.
  const fromMin = resumeMin > 0 ? goOn(rules, state.leg, resumeMin, 1) : 0;
  return { underWay: { ...law.underWay, fromMin }, covariance: law.covariance };
}
