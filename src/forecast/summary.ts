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
import { normalQuantile } from './normal.ts';
import { project } from './pace.ts';
import { quantilesOf } from './quantiles.ts';
import type { Outcomes } from './simulate.ts';
import { leave } from './way-out.ts';

const SHARES = [0.1, 0.5, 0.9] as const;

/** Minutes since now as epoch milliseconds, whole. */
function toMs(c: Compiled, min: number): number {
  return Number.isFinite(min) ? Math.round(c.input.nowMs + min * 60000) : min;
}

/** Quantiles of a column, as instants. */
export function quantiles(c: Compiled, column: Float64Array, room?: Float64Array): Quantiles {
  const [q10, q50, q90] = quantilesOf(column, SHARES, room) as [number, number, number];
  return { q10: toMs(c, q10), q50: toMs(c, q50), q90: toMs(c, q90) };
}

/** Leg of a pitch index. */
function legOf(c: Compiled, pitchIndex: number): number {
  return c.legs.findIndex((leg) => leg.first <= pitchIndex && pitchIndex <= leg.last);
}

/** When each pitch is done: told, or projected; a linked pitch with the link. */
export function checkpointsOf(c: Compiled, o: Outcomes): CheckpointForecast[] {
  const byLeg = o.done.map((column) => quantiles(c, column, o.room));
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

function shareBy(column: Float64Array, byMin: number): number {
  let met = 0;
  for (let i = 0; i < column.length; i++) if ((column[i] as number) <= byMin) met++;
  return met / column.length;
}

/** The column of outcomes a cutoff looks at, or the told time where the pitch is done. */
function targetOf(c: Compiled, o: Outcomes, cutoff: ForecastCutoff): Float64Array | number {
  const { target } = cutoff;
  if (target === 'topout') return o.topout;
  if (target === 'down' || target === 'trailhead') return o.trailhead;
  const index = c.input.pitches.findIndex((pitch) => pitch.number === target.pitch);
  const actual = c.input.pitches[index]?.actual?.doneAtMs;
  const row = o.done[legOf(c, index) - c.state.leg];
  if (actual !== undefined) return (actual - c.input.nowMs) / 60000;
  // Done without a post: by now at the latest. Not on the route: never.
  return row ?? (index >= 0 ? 0 : Number.POSITIVE_INFINITY);
}

/** The chance of each cutoff, and which one binds. */
export function cutoffsOf(c: Compiled, o: Outcomes): CutoffForecast[] {
  const out = c.input.cutoffs.map((cutoff) => {
    const byMin = (cutoff.atMs - c.input.nowMs) / 60000;
    const target = targetOf(c, o, cutoff);
    const chance = typeof target === 'number' ? Number(target <= byMin) : shareBy(target, byMin);
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
function bindingDay(c: Compiled, o: Outcomes): { first: number; last: number } {
  const { departureMin, lastOfDay, boardMin, walk } = c.wayOut;
  const [middle] = quantilesOf(o.trailhead, [0.5]) as [number];
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
 * The last departure that binds: of the first service day whose last one at least half of the ascents
 * can still board; or the one they miss, where most would rather walk than wait for the next day's.
 * With it the departure of that day most of them catch, and the chance to walk.
 */
export function shuttleOf(c: Compiled, o: Outcomes): Forecast['shuttle'] {
  const { departureMin, boardMin } = c.wayOut;
  if (departureMin.length === 0) return undefined;
  const { first, last } = bindingDay(c, o);
  const caught = new Uint32Array(departureMin.length);
  let onFoot = 0;
  for (let i = 0; i < o.count; i++) {
    const index = o.departure[i] as number;
    if (index >= 0) caught[index] = (caught[index] as number) + 1;
    else onFoot++;
  }
  let likely = last;
  for (let d = first; d < last; d++) {
    if ((caught[d] as number) > (caught[likely] as number)) likely = d;
  }
  const lastMin = departureMin[last] as number;
  return {
    likelyMs: toMs(c, departureMin[likely] as number),
    lastMs: toMs(c, lastMin),
    chanceLast: shareBy(o.trailhead, lastMin - boardMin),
    chanceWalk: onFoot / o.count,
  };
}

/** Hanging times, those who hang at all. */
export function hangingOf(
  c: Compiled,
  o: Outcomes,
  jobs: readonly HangingJob[],
): HangingForecast[] {
  return jobs.flatMap((job, j) => {
    const column = o.hanging[j] as Float64Array;
    let sum = 0;
    for (let i = 0; i < column.length; i++) sum += column[i] as number;
    const meanMin = sum / column.length;
    const climber = c.input.climbers[job.climber]?.id;
    if (climber === undefined || !(meanMin > 0)) return [];
    const [q90Min] = quantilesOf(column, [0.9], o.room) as [number];
    return [{ pitch: job.pitch, climber, meanMin, q90Min }];
  });
}

/** Share of ascents by number of nights, up to the most that occurs. */
export function nightsOf(o: Outcomes): number[] {
  const out: number[] = [0];
  for (let i = 0; i < o.count; i++) {
    if (o.topout[i] === Number.POSITIVE_INFINITY) continue;
    const nights = o.nights[i] as number;
    while (out.length <= nights) out.push(0);
    out[nights] = (out[nights] as number) + 1;
  }
  return out.map((ascents) => ascents / o.count);
}

/** Pace as factors against the defaults, each with its 80 % interval. */
export function paceOf(c: Compiled): Forecast['pace'] {
  const reach = normalQuantile(0.9);
  const factors = (leader?: number) => {
    const weights = new Array<number>(c.layout.effects).fill(0);
    weights[PARTY_EFFECT] = 1;
    if (leader !== undefined) weights[FIRST_LEADER_EFFECT + leader] = 1;
    const { mean, sd } = project(c.belief, weights);
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

/** How many ascents found no end. */
export function unfinishedOf(o: Outcomes): number {
  return o.topout.reduce((sum, min) => sum + (min === Number.POSITIVE_INFINITY ? 1 : 0), 0);
}

/** Share of ascents with a night where not everybody can lie down. */
export function exposedOf(o: Outcomes): number {
  return o.exposed.reduce((sum, flag) => sum + flag, 0) / o.count;
}

/** Puts the forecast together. */
export function summarise(c: Compiled, o: Outcomes, jobs: readonly HangingJob[]): Forecast {
  const shuttle = shuttleOf(c, o);
  return {
    atMs: c.input.nowMs,
    ascents: o.count,
    checkpoints: checkpointsOf(c, o),
    topout: quantiles(c, o.topout, o.room),
    trailhead: quantiles(c, o.trailhead, o.room),
    ...(shuttle ? { boarding: quantiles(c, o.boarding, o.room), shuttle } : {}),
    cutoffs: cutoffsOf(c, o),
    hanging: hangingOf(c, o, jobs),
    nights: nightsOf(o),
    exposedNight: exposedOf(o),
    pace: paceOf(c),
    unfinished: unfinishedOf(o),
  };
}
