import { type Arrival, arrivalAt, tidyChance } from './arrival/arrival.ts';
import type { Arrivals } from './arrival/arrivals.ts';
import type { Compiled } from './compile.ts';
import type { HangingJob } from './hanging.ts';
import { FIRST_LEADER_EFFECT, PARTY_EFFECT } from './legs.ts';
import type {
  CheckpointForecast,
  CutoffForecast,
  Forecast,
  ForecastCutoff,
  HangingForecast,
  Quantiles,
} from './model.ts';
import { dayOf } from './nights.ts';
import { normalQuantile } from './normal.ts';
import { linearCombination } from './pace.ts';
import { quantilesOf } from './quantiles.ts';
import type { Ascents } from './simulate.ts';
import { onwardMin } from './state.ts';
import { leave } from './way-out.ts';

const PROBABILITIES = [0.1, 0.5, 0.9] as const;
/** A smaller chance that no end is found isn't worth a word. */
const UNFINISHED_LEAST = 1e-4;

/** The part of a forecast that the one line after a post needs. */
export type Brief = Pick<
  Forecast,
  'topout' | 'trailhead' | 'cutoffs' | 'shuttle' | 'nights' | 'exposedNight' | 'pace' | 'unfinished'
>;

/** Minutes since now as epoch milliseconds, whole. */
function toMs(c: Compiled, min: number): number {
  return Number.isFinite(min) ? Math.round(c.input.nowMs + min * 60000) : min;
}

/** Quantiles of an arrival, as instants. */
export function quantiles(c: Compiled, arrival: Arrival): Quantiles {
  const [q10, q50, q90] = PROBABILITIES.map((p) => toMs(c, arrival.quantile(p))) as [
    number,
    number,
    number,
  ];
  return { q10, q50, q90 };
}

/** Leg of a pitch index. */
function legOf(c: Compiled, pitchIndex: number): number {
  return c.legs.findIndex((leg) => leg.first <= pitchIndex && pitchIndex <= leg.last);
}

/** When each pitch is done: told, or projected; a linked pitch with the link. */
function checkpointsOf(c: Compiled, all: Arrivals): CheckpointForecast[] {
  const byLeg = all.done.map((arrival) => quantiles(c, arrival));
  return c.input.pitches.flatMap((pitch, p) => {
    const actual = pitch.actual?.doneAtMs;
    if (actual !== undefined) {
      return [{ pitch: pitch.number, done: { q10: actual, q50: actual, q90: actual }, actual }];
    }
    // A pitch nobody posted, below one that is done, has no time to show.
    const done = byLeg[legOf(c, p) - c.state.leg];
    return done ? [{ pitch: pitch.number, done }] : [];
  });
}

/** What a cutoff looks at: an arrival, or the told time where the pitch is done. */
function targetOf(c: Compiled, all: Arrivals, cutoff: ForecastCutoff): Arrival {
  const { target } = cutoff;
  if (target === 'topout') return all.topout;
  if (target === 'down' || target === 'trailhead') return all.trailhead;
  const index = c.input.pitches.findIndex((pitch) => pitch.number === target.pitch);
  const actual = c.input.pitches[index]?.actual?.doneAtMs;
  if (actual !== undefined) return arrivalAt((actual - c.input.nowMs) / 60000);
  // Done without a post: by now at the latest. Not on the route: never.
  const row = all.done[legOf(c, index) - c.state.leg];
  return row ?? arrivalAt(index >= 0 ? 0 : Number.POSITIVE_INFINITY);
}

/** The chance of each cutoff, and which one binds. */
function cutoffsOf(c: Compiled, all: Arrivals): CutoffForecast[] {
  const out = c.input.cutoffs.map((cutoff) => {
    const byMin = (cutoff.atMs - c.input.nowMs) / 60000;
    const chance = targetOf(c, all, cutoff).chanceBy(byMin);
    const { id, kind, label, atMs } = cutoff;
    return { id, kind, label, atMs, chance, binds: false };
  });
  const first = out.reduce<CutoffForecast | undefined>((least, cutoff) => {
    if (!least || cutoff.chance < least.chance) return cutoff;
    return cutoff.chance === least.chance && cutoff.atMs < least.atMs ? cutoff : least;
  }, undefined);
  if (first) first.binds = true;
  return out;
}

/** Departures of the day that binds: index of its first, and of its last. */
function bindingDay(c: Compiled, all: Arrivals): { first: number; last: number } {
  const { departureMin, lastOfDay, boardMin, walk } = c.wayOut;
  const middle = all.trailhead.quantile(0.5);
  const walks = walk !== undefined && leave(c.wayOut, middle, Math.exp(walk.mu)).departure < 0;
  let before = 0;
  let first = 0;
  for (let d = 0; d < departureMin.length - 1; d++) {
    if (lastOfDay[d] === 0) continue;
    if ((departureMin[d] as number) >= middle + boardMin) {
      const missed = walks && first > 0 && (departureMin[first - 1] as number) > 0;
      return missed ? { first: before, last: first - 1 } : { first, last: d };
    }
    before = first;
    first = d + 1;
  }
  return { first, last: departureMin.length - 1 };
}

/**
 * The last departure that binds: of the first service day whose last one the party can still board as
 * likely as not; or the one it misses, where it would rather walk than wait for the next day's. With
 * it the departure of that day it is most likely to catch, and the chance to walk.
 */
function shuttleOf(c: Compiled, all: Arrivals): Forecast['shuttle'] {
  const { departureMin, boardMin } = c.wayOut;
  if (departureMin.length === 0) return undefined;
  const { first, last } = bindingDay(c, all);
  const { caught, onFoot } = all.boarding;
  let likely = last;
  for (let d = first; d < last; d++) {
    if ((caught[d] as number) > (caught[likely] as number)) likely = d;
  }
  const lastMin = departureMin[last] as number;
  return {
    likelyMs: toMs(c, departureMin[likely] as number),
    lastMs: toMs(c, lastMin),
    chanceLast: all.trailhead.chanceBy(lastMin - boardMin),
    chanceWalk: onFoot,
  };
}

/** Hanging times, those who hang at all. */
function hangingOf(c: Compiled, ascents: Ascents, jobs: readonly HangingJob[]): HangingForecast[] {
  return jobs.flatMap((job, j) => {
    const column = ascents.hanging[j] as Float64Array;
    let sum = 0;
    for (let i = 0; i < column.length; i++) sum += column[i] as number;
    const meanMin = sum / column.length;
    const climber = c.input.climbers[job.climber]?.id;
    if (climber === undefined || !(meanMin > 0)) return [];
    const [q90Min] = quantilesOf(column, [0.9], ascents.scratch) as [number];
    return [{ pitch: job.pitch, climber, meanMin, q90Min }];
  });
}

/** Chance by number of nights still to come, up to the most that can be; no end found is none of them. */
function nightsOf(c: Compiled, { topout }: Arrivals): number[] {
  const { startMin } = c.rules;
  const today = Math.max(0, dayOf(startMin, onwardMin(c.state)));
  const out: number[] = [];
  let before = 0;
  for (let d = today; d < startMin.length; d++) {
    const next = startMin[d + 1] ?? Number.POSITIVE_INFINITY;
    const by = next === Number.POSITIVE_INFINITY ? foundOf(topout) : topout.chanceBy(next);
    out.push(tidyChance(by - before));
    before = by;
  }
  while (out.length > 1 && out.at(-1) === 0) out.pop();
  return out;
}

/** Chance that the top is reached at all in the days given. */
function foundOf(topout: Arrival): number {
  return topout.chanceBy(Number.MAX_SAFE_INTEGER);
}

/** Chance that no end is found in the days given. */
function unfinishedOf({ topout }: Arrivals): number {
  const chance = 1 - foundOf(topout);
  return chance < UNFINISHED_LEAST ? 0 : chance;
}

/** Pace as factors against the defaults, each with its 80 % interval. */
export function paceOf(c: Compiled): Forecast['pace'] {
  const reach = normalQuantile(0.9);
  const factors = (leader?: number) => {
    const weights = new Array<number>(c.layout.effects).fill(0);
    weights[PARTY_EFFECT] = 1;
    if (leader !== undefined) weights[FIRST_LEADER_EFFECT + leader] = 1;
    const { mean, sd } = linearCombination(c.posterior, weights);
    return {
      factor: Math.exp(mean),
      low: Math.exp(mean - reach * sd),
      high: Math.exp(mean + reach * sd),
    };
  };
  return {
    party: { ...factors(), stages: c.observations },
    leaders: c.input.climbers.map((climber, index) => ({
      climber: climber.id,
      ...factors(index),
      stages: c.leaderObservations[index] ?? 0,
    })),
  };
}

/** Puts the whole forecast together, from the arrivals and the ascents. */
export function summarise(
  c: Compiled,
  all: Arrivals,
  ascents: Ascents,
  jobs: readonly HangingJob[],
): Forecast {
  return {
    atMs: c.input.nowMs,
    ...briefly(c, all),
    checkpoints: checkpointsOf(c, all),
    ...(c.wayOut.departureMin.length > 0 ? { boarding: quantiles(c, all.boarding.away) } : {}),
    hanging: hangingOf(c, ascents, jobs),
  };
}

/** That part, from the arrivals alone. */
export function briefly(c: Compiled, all: Arrivals): Brief {
  const shuttle = shuttleOf(c, all);
  return {
    topout: quantiles(c, all.topout),
    trailhead: quantiles(c, all.trailhead),
    ...(shuttle ? { shuttle } : {}),
    cutoffs: cutoffsOf(c, all),
    nights: nightsOf(c, all),
    exposedNight: all.exposed,
    pace: paceOf(c),
    unfinished: unfinishedOf(all),
  };
}
