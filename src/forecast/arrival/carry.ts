import type { Compiled } from '../compile.ts';
import { AID_EFFECT, FIRST_LEADER_EFFECT, type Leg, PARTY_EFFECT } from '../legs.ts';
import { paceScale, setOff } from '../nights.ts';
import { onwardMin } from '../state.ts';
import type { Line } from './arrival.ts';
import { type LegPace, type LegStages, legStages, legTime } from './leg-time.ts';
import { type Pace, type Paces, pacesOf, unspreadGain } from './paces.ts';
import { restByPace } from './rest.ts';
import { toWork, type WorkScale, workScale } from './scale.ts';
import type { Shape } from './shape.ts';
import {
  addAfter,
  addAt,
  addSpread,
  clear,
  type Grid,
  newSpread,
  type Spread,
  type Steps,
  sumOf,
} from './spread.ts';
import { layOutSteps, newSteps } from './steps.ts';
import {
  type Hours,
  hoursOn,
  placeIn,
  type StoodFor,
  type Whereabouts,
  waitForDay,
} from './waiting.ts';

/** The party's paces on their way up, and what has come of them so far. */
export interface Carry {
  c: Compiled;
  line: Line;
  hours: Hours;
  paces: Paces;
  stages: LegStages[];
  /** By leg, what a stage's mean gains by the effects no point stands for: logarithms. */
  gains: LegPace[];
  /** Ready after the part under way, by `Pace.shift`. */
  begun: Spread[];
  here: Whereabouts;
  next: Whereabouts;
  steps: Steps;
  shape: Shape;
  pace: LegPace;
  /** Done, by leg still to climb. */
  done: Spread[];
  /** Chance of a night without a bed. */
  exposed: number;
  /** The next pace to be carried. */
  at: number;
}

/** Width of a bin: this share of the usual spread of a leg, within bounds in minutes. */
const STEP_SHARE = 0.5;
const STEP_LEAST_MIN = 1;
const STEP_MOST_MIN = 8;
/** Whoever begins the last day's climbing is followed this long. */
const LAST_DAY_MIN = 2 * 24 * 60;

/** The same for a trip whatever is posted, so that forecasts made one after the other fit together. */
function stepFor(c: Compiled): number {
  const spreads = c.legs.map(({ whole: { span } }) => Math.exp(span.mu) * span.sigma);
  const middle = spreads.sort((a, b) => a - b)[spreads.length >> 1] as number;
  return Math.min(STEP_MOST_MIN, Math.max(STEP_LEAST_MIN, STEP_SHARE * middle));
}

function gridFor(c: Compiled, scale: WorkScale): Grid {
  const stepMin = stepFor(c);
  const { startMin } = c.rules;
  const now = Math.max(0, onwardMin(c.state));
  const from = toWork(scale, Math.min(onwardMin(c.state), startMin[0] as number));
  const to = toWork(scale, Math.max(startMin.at(-1) as number, now) + LAST_DAY_MIN);
  const first = Math.floor(from / stepMin) - 2;
  return { stepMin, first, count: Math.ceil(to / stepMin) - first + 3 };
}

/** Makes everything ready to carry the paces of a compiled forecast. */
export function newCarry(c: Compiled): Carry {
  // Nought is a moment of the trip, not now, so that the bins stay where they are as time passes.
  const scale = workScale(c.clock, ((c.input.days[0]?.startMs ?? 0) - c.input.nowMs) / 60000);
  const grid = gridFor(c, scale);
  const line = { grid, scale };
  const paces = pacesOf(c);
  const u = c.underWay;
  const begun = u ? restByPace(grid, placeIn(line, u.fromMin), u, paces) : [];
  const done = Array.from({ length: c.legs.length - c.state.leg }, () => newSpread(grid));
  for (const spread of begun) addSpread(done[0] as Spread, spread);
  const nowhere = (): Whereabouts => ({ rested: newSpread(grid), exposed: newSpread(grid) });
  return {
    c,
    line,
    hours: hoursOn(c.rules, line),
    paces,
    stages: legStages(c),
    gains: c.legs.map((leg) => gainsOf(c, paces, leg)),
    begun,
    here: nowhere(),
    next: nowhere(),
    steps: newSteps(),
    shape: { mean: 0, variance: 0, third: 0 },
    pace: { party: 0, lead: 0, fix: 0, follow: 0 },
    done,
    exposed: 0,
    at: 0,
  };
}

function gainsOf(c: Compiled, paces: Paces, leg: Leg): LegPace {
  const gain = (...effects: number[]): number => {
    const weights = new Float64Array(c.layout.effects);
    for (const e of effects) weights[e] = 1;
    return unspreadGain(paces, weights);
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
function begin(y: Carry, { chance, shift }: Pace, pace: StoodFor): void {
  const { c, here } = y;
  clear(here.rested);
  clear(here.exposed);
  if (c.underWay) {
    addSpread(here.rested, y.begun[shift] as Spread, chance);
    return;
  }
  const k = c.state.leg;
  const readyMin = onwardMin(c.state);
  const offMin = setOff(c.rules, k, readyMin, pace.scale);
  const night = offMin > readyMin && readyMin > (c.rules.startMin[0] as number);
  const exposed = night && c.rules.refuge[k] === 0;
  if (offMin < Number.POSITIVE_INFINITY) {
    addAt(exposed ? here.exposed : here.rested, placeIn(y.line, offMin), chance);
  } else if (exposed) {
    y.exposed += chance;
  }
}

function climb(y: Carry, k: number, effects: Float64Array): void {
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
  layOutSteps(shape, y.line.grid.stepMin, steps);
  clear(next.rested);
  clear(next.exposed);
  addAfter(here.rested, steps, next.rested);
  addAfter(here.exposed, steps, next.exposed);
  y.here = next;
  y.next = here;
}

/** Carries the next pace up to the top; true when all are up. */
export function carryNext(y: Carry): boolean {
  const { c, paces } = y;
  const point = paces.all[y.at++];
  if (!point) return true;
  const pace = { scale: paceScale(point.effects, c.belief.mean), sd: paces.partySd };
  begin(y, point, pace);
  const first = c.state.leg + (c.underWay ? 1 : 0);
  for (let k = first; k < c.legs.length; k++) {
    if (k > c.state.leg) y.exposed += waitForDay(y.hours, y.here, k, pace);
    climb(y, k, point.effects);
    const done = y.done[k - c.state.leg] as Spread;
    addSpread(done, y.here.rested);
    addSpread(done, y.here.exposed);
  }
  y.exposed += sumOf(y.here.exposed);
  return y.at >= paces.all.length;
}
