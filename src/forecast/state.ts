import type { Leg } from './legs.ts';
import type { ForecastInput } from './model.ts';
import { dayOf, downFrom, goOn, type NightRules, setOff } from './nights.ts';
import { breaksOf, doneAt, fixedAt, type Measure, startedAt, workTold } from './observations.ts';

/** Where the party is, in legs and in minutes since now (negative is past). */
export interface PartyState {
  /** First leg not done; the number of legs when the party has topped out. */
  leg: number;
  /** When the party was, or will be, ready at the stance before that leg. */
  readyMin: number;
  /** Climbing goes on from here: now, or the end of a hold or of the night the party is settled in. */
  resumeMin: number;
  /** The leg has begun: which part is under way, when it was begun or gone on with after the last pause, and the work already spent on it. */
  underWay: { part: 'whole' | 'afterFixed'; onMin: number; spentMin: number } | undefined;
  /** The party is settled for the night at that stance: its plan for it is carried out. */
  settled: boolean;
  /** When a party on top begins, or has begun, its way down. */
  downMin: number;
  /** Minutes that the lead below took as far as rest is owed for it; the expected ones when undefined. */
  lastMin: number | undefined;
}

/** When the party can think of climbing on: ready, and past any hold or night. */
export function onwardMin(state: PartyState): number {
  return Math.max(state.readyMin, state.resumeMin);
}

/** When the party sets off from the stance where it is, at a pace against the expected one. */
export function firstOff(rules: NightRules, state: PartyState, scale: number): number {
  const { leg, readyMin, resumeMin, settled, lastMin } = state;
  const off = settled ? readyMin : setOff(rules, leg, readyMin, scale, lastMin);
  return goOn(rules, leg, Math.max(off, resumeMin), scale);
}

/** First leg not done. A start or a fixed line says that everything before is done, posted or not. */
export function currentLeg(m: Measure, legs: readonly Leg[]): number {
  let current = 0;
  for (let k = 0; k < legs.length; k++) {
    const leg = legs[k] as Leg;
    if (doneAt(m, leg) !== undefined) current = k + 1;
    else if (startedAt(m, leg) !== undefined || fixedAt(m, leg) !== undefined) current = k;
  }
  return current;
}

function readyAtMs(m: Measure, legs: readonly Leg[], current: number): number {
  const { input } = m;
  const planned = input.plannedStartMs ?? input.days[0]?.startMs ?? input.nowMs;
  if (current === 0) return input.departed ? planned : Math.max(planned, input.nowMs);
  for (let k = current - 1; k >= 0; k--) {
    const done = doneAt(m, legs[k] as Leg);
    if (done !== undefined) return done;
  }
  return planned;
}

/** The way down begins at the top-out, or after the night spent on top. */
function downMin(input: ForecastInput, rules: NightRules, topMin: number, last?: number): number {
  const sinceMs = input.settled?.untilMs ?? input.descentFromMs;
  if (sinceMs !== undefined) return Math.max(topMin, (sinceMs - input.nowMs) / 60000);
  return downFrom(rules, topMin, last ?? rules.legMin.at(-1) ?? 0);
}

/**
 * A party that began the lead below on the same day has slept before it, however quick it was: it owes
 * no rest. Undefined where that isn't known, or where it climbed through the night.
 */
function lastMin(
  m: Measure,
  legs: readonly Leg[],
  current: number,
  rules: NightRules,
  readyMin: number,
): number | undefined {
  const below = legs[current - 1];
  const dayMin = rules.startMin[dayOf(rules.startMin, readyMin)];
  if (below === undefined || dayMin === undefined) return undefined;
  const beganMs = startedAt(m, below) ?? readyAtMs(m, legs, current - 1);
  const beganMin = (beganMs - m.input.nowMs) / 60000;
  return beganMin >= dayMin ? readyMin - dayMin : undefined;
}

/**
 * When a leg was begun of which no start was told: as soon as the rules of the night let them, and no pause was
 * told for then. Infinity while they pause.
 */
function begunMin({ input, pauses }: Measure, rules: NightRules, state: PartyState): number {
  let begin = setOff(rules, state.leg, state.readyMin, 1, state.lastMin);
  for (const { fromMs, toMs } of [...pauses].sort((a, b) => a.fromMs - b.fromMs)) {
    const from = (fromMs - input.nowMs) / 60000;
    const to = (toMs - input.nowMs) / 60000;
    if (begin < from || begin >= to) continue;
    if (to >= 0) return Number.POSITIVE_INFINITY;
    begin = goOn(rules, state.leg, to, 1);
  }
  return begin;
}

/** When a leg was begun, or gone on with after the last pause in it. */
function onFrom({ input, pauses }: Measure, beganMin: number): number {
  const ends = pauses.map(({ toMs }) => (toMs - input.nowMs) / 60000).filter((min) => min <= 0);
  return Math.max(beganMin, ...ends);
}

/** Reads the party's state from the told times. */
export function partyState(
  m: Measure,
  legs: readonly Leg[],
  current: number,
  rules: NightRules,
): PartyState {
  const { input } = m;
  const min = (ms: number): number => (ms - input.nowMs) / 60000;
  const leg = legs[current];
  const started = leg ? startedAt(m, leg) : undefined;
  const fixed = leg ? fixedAt(m, leg) : undefined;
  const readyMin = min(started ?? readyAtMs(m, legs, current));
  const resumeMin = Math.max(
    0,
    min(input.holdUntilMs ?? input.nowMs),
    min(input.settled?.untilMs ?? input.nowMs),
  );
  const settled = input.settled !== undefined && input.settled.untilMs > input.nowMs;
  const last = lastMin(m, legs, current, rules, readyMin);
  const state: PartyState = {
    leg: current,
    readyMin,
    resumeMin,
    underWay: undefined,
    settled,
    downMin: downMin(input, rules, readyMin, last),
    lastMin: last,
  };
  if (!leg || !(input.departed || started !== undefined || current > 0)) return state;
  const breaks = breaksOf(m, leg);
  if (fixed !== undefined) {
    const spentMin = workTold(m, fixed, input.nowMs, breaks.allMin - breaks.leadMin);
    return { ...state, underWay: { part: 'afterFixed', onMin: onFrom(m, readyMin), spentMin } };
  }
  if (started === undefined && settled) return state;
  const begin = started === undefined ? begunMin(m, rules, state) : readyMin;
  if (begin > 0) return state;
  const spentMin = workTold(m, input.nowMs + begin * 60000, input.nowMs, breaks.allMin);
  return { ...state, underWay: { part: 'whole', onMin: onFrom(m, begin), spentMin } };
}
