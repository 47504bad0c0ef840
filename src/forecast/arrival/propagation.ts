import type { Compiled, UnderWay } from '../compile.ts';
import { AID_EFFECT, expectedMin, FIRST_LEADER_EFFECT, type Leg, PARTY_EFFECT } from '../legs.ts';
import { goOnScale, nextStart, paceScale } from '../nights.ts';
import { onwardMin } from '../state.ts';
import type { WorkAxis } from './arrival.ts';
import type { CentralMoments } from './central-moments.ts';
import { discretise, newDuration } from './duration.ts';
import { type LegPace, type LegStages, legStages, legTime } from './leg-time.ts';
import {
  addAt,
  addMass,
  clear,
  convolve,
  type DurationMass,
  emptyMass,
  type Grid,
  type ProbabilityMass,
  totalMass,
} from './mass.ts';
import { omittedGain, type Pace, type Paces, pacesOf } from './paces.ts';
import { type Ranks, ranksOf } from './ranks.ts';
import { residualByPace } from './residual.ts';
import { dayZeroMin, scaleByNights, toWork, type WorkScale } from './scale.ts';
import {
  type Hours,
  hoursOn,
  type PacePoint,
  placeIn,
  type Whereabouts,
  waitForDay,
  waiting,
} from './waiting.ts';

/** The mass functions of one pace after the other on their way up the route, and what they add up to. */
export interface Propagation {
  c: Compiled;
  line: WorkAxis;
  hours: Hours;
  paces: Paces;
  ranks: Ranks;
  stages: LegStages[];
  /** By leg, the log of what a stage's mean gains by the variance that no point stands for. */
  gains: LegPace[];
  /** Ready after the part under way, by `Pace.shift`. */
  begun: ProbabilityMass[];
  here: Whereabouts;
  next: Whereabouts;
  steps: DurationMass;
  shape: CentralMoments;
  pace: LegPace;
  /** Done, by leg still to climb. */
  done: ProbabilityMass[];
  /** Chance of a night without a bed. */
  exposed: number;
  /** The pace whose turn it is, and the leg it climbs next. */
  at: number;
  k: number;
}

/** Width of a bin: this share of the usual spread of a leg, within bounds in minutes; or of a very wide one. */
const STEP_SHARE = 0.5;
const STEP_LEAST_MIN = 1;
const STEP_MOST_MIN = 8;
const STEP_SHARE_LEAST = 0.1;
/** It grows and shrinks with the spread of all legs left together, so that the work grows with the legs only. */
const LEGS_USUAL = 30;
/** Whoever begins the last day's climbing is followed this long, and then for so many of the longest leg left. */
const LAST_DAY_MIN = 2 * 24 * 60;
const LAST_LEGS = 8;

function stepFor(c: Compiled): number {
  const left = c.legs.slice(c.state.leg);
  const spreads = left.map(({ whole: { span } }) => Math.exp(span.mu) * span.sigma);
  const middle = spreads.sort((a, b) => a - b)[spreads.length >> 1] as number;
  const usual = Math.max(Math.min(STEP_MOST_MIN, STEP_SHARE * middle), STEP_SHARE_LEAST * middle);
  return Math.max(STEP_LEAST_MIN, usual * Math.sqrt(left.length / LEGS_USUAL));
}

function scaleFor(c: Compiled, stepMin: number): WorkScale {
  const { startMin, stopMin } = c.rules;
  const nights = Array.from({ length: startMin.length - 1 }, (_, d) => ({
    fromMin: stopMin[d] as number,
    toMin: startMin[d + 1] as number,
  })).filter(({ toMin }) => toMin > onwardMin(c.state));
  return scaleByNights(c.clock, dayZeroMin(c.input), nights, stepMin);
}

function gridFor(c: Compiled, scale: WorkScale, stepMin: number): Grid {
  const { startMin } = c.rules;
  const fromMin = onwardMin(c.state);
  const lastMin = Math.max(startMin.at(-1) as number, fromMin);
  const first = Math.floor(toWork(scale, fromMin) / stepMin) - 2;
  const legMin = expectedMin(c.legs.slice(c.state.leg), c.posterior).map((min) => LAST_LEGS * min);
  const to = toWork(scale, lastMin + LAST_DAY_MIN) + Math.max(...legMin);
  return { stepMin, first, count: Math.ceil(to / stepMin) - first + 3 };
}

/** Makes everything ready to propagate the paces of a compiled forecast. */
export function newPropagation(c: Compiled): Propagation {
  const stepMin = stepFor(c);
  const scale = scaleFor(c, stepMin);
  const grid = gridFor(c, scale, stepMin);
  const line = { grid, scale };
  const paces = pacesOf(c);
  const u = c.underWay;
  const begun = u ? begunOf(u, line, paces) : [];
  const done = Array.from({ length: c.legs.length - c.state.leg }, () => emptyMass(grid));
  for (const spread of begun) addMass(done[0] as ProbabilityMass, spread);
  const nowhere = (): Whereabouts => ({ rested: emptyMass(grid), exposed: emptyMass(grid) });
  return {
    c,
    line,
    hours: hoursOn(c.rules, line),
    paces,
    ranks: ranksFor(c, paces, begun),
    stages: legStages(c),
    gains: c.legs.map((leg) => gainsOf(c, paces, leg)),
    begun,
    here: nowhere(),
    next: nowhere(),
    steps: newDuration(),
    shape: { mean: 0, variance: 0, third: 0 },
    pace: { party: 0, lead: 0, fix: 0, follow: 0 },
    done,
    exposed: 0,
    at: 0,
    k: firstLeg(c),
  };
}

/** When the part under way is done, pace by pace; never, if no day is left to go on with it. */
function begunOf(u: UnderWay, line: WorkAxis, paces: Paces): ProbabilityMass[] {
  if (u.fromMin === Number.POSITIVE_INFINITY) return paces.shifts.map(() => emptyMass(line.grid));
  return residualByPace(line.grid, placeIn(line, u.fromMin), u, paces);
}

/** The paces in order of the party's own, each with its chance. */
function ranksFor(c: Compiled, { all, omitted }: Paces, begun: readonly ProbabilityMass[]): Ranks {
  const byShift = begun.map(totalMass);
  return ranksOf(
    all.map(({ effects }) => Math.log(paceScale(effects, c.posterior.mean))),
    all.map(({ chance, shift }) => chance * (byShift[shift] ?? 1)),
    omitted.reduce((sum, moves) => sum + (moves[PARTY_EFFECT] as number) ** 2, 0),
  );
}

function gainsOf(c: Compiled, paces: Paces, leg: Leg): LegPace {
  const gain = (...effects: number[]): number => {
    const weights = new Float64Array(c.layout.effects);
    for (const e of effects) weights[e] = 1;
    return omittedGain(paces, weights);
  };
  const aid = leg.aid ? [AID_EFFECT] : [];
  const known = leg.leader >= 0 && leg.leader < c.input.climbers.length;
  const leader = known ? [FIRST_LEADER_EFFECT + leg.leader] : [];
  return {
    party: gain(PARTY_EFFECT),
    lead: gain(PARTY_EFFECT, ...leader, ...aid),
    fix: gain(PARTY_EFFECT, ...leader),
    follow: gain(PARTY_EFFECT, ...aid),
  };
}

/** Puts the party where it is, at one pace: after the part under way, or setting off from its stance. */
function begin(y: Propagation, { chance, shift }: Pace, pace: PacePoint): void {
  const { c, here } = y;
  clear(here.rested);
  clear(here.exposed);
  if (c.underWay) {
    addMass(here.rested, y.begun[shift] as ProbabilityMass, chance);
    return;
  }
  const k = c.state.leg;
  const readyMin = onwardMin(c.state);
  const waits = chance * waiting(pace, goOnScale(c.rules, k, readyMin));
  if (waits < chance) addAt(here.rested, placeIn(y.line, readyMin), chance - waits);
  if (waits === 0) return;
  const exposed = c.rules.refuge[k] === 0 && readyMin > (c.rules.startMin[0] as number);
  const startMin = nextStart(c.rules, readyMin);
  if (startMin < Number.POSITIVE_INFINITY) {
    addAt(exposed ? here.exposed : here.rested, placeIn(y.line, startMin), waits);
  } else if (exposed) {
    y.exposed += waits;
  }
}

function climb(y: Propagation, k: number, effects: Float64Array): void {
  const { here, next, pace, steps, shape } = y;
  const leg = y.c.legs[k] as Leg;
  const gain = y.gains[k] as LegPace;
  const party = effects[PARTY_EFFECT] as number;
  const aid = leg.aid ? (effects[AID_EFFECT] as number) : 0;
  const own = leg.leader >= 0 ? (effects[FIRST_LEADER_EFFECT + leg.leader] ?? 0) : 0;
  pace.party = party + gain.party;
  pace.lead = party + own + aid + gain.lead;
  pace.fix = party + own + gain.fix;
  pace.follow = party + aid + gain.follow;
  legTime(y.stages[k] as LegStages, pace, shape);
  discretise(shape, y.line.grid.stepMin, steps);
  clear(next.rested);
  clear(next.exposed);
  convolve(here.rested, steps, next.rested);
  convolve(here.exposed, steps, next.exposed);
  y.here = next;
  y.next = here;
}

/** The first leg to be convolved: the one under way is in `begun`. */
function firstLeg({ state, underWay }: Compiled): number {
  return state.leg + (underWay ? 1 : 0);
}

/** Takes the pace whose turn it is up one leg; true when all are on top. */
export function propagateNext(y: Propagation): boolean {
  const { c, paces, k } = y;
  const point = paces.all[y.at];
  if (!point || firstLeg(c) === c.legs.length) return true;
  const scale = paceScale(point.effects, c.posterior.mean);
  const pace = { scale, ranks: y.ranks, index: y.at };
  if (k === firstLeg(c)) begin(y, point, pace);
  if (k > c.state.leg) y.exposed += waitForDay(y.hours, y.here, k, pace);
  climb(y, k, point.effects);
  const done = y.done[k - c.state.leg] as ProbabilityMass;
  addMass(done, y.here.rested);
  addMass(done, y.here.exposed);
  y.k++;
  if (y.k < c.legs.length) return false;
  y.exposed += totalMass(y.here.exposed);
  y.k = firstLeg(c);
  y.at++;
  return y.at === paces.all.length;
}
