import { nextNight, plannedNight, topoutDays } from './branches.ts';
import type { Compiled } from './compile.ts';
import {
  AID_EFFECT,
  CHANGEOVER_EFFECT,
  dayEffect,
  HAUL_EFFECT,
  leaderEffect,
  PARTY_EFFECT,
} from './effects.ts';
import type { HangingJob } from './hanging.ts';
import { lastShuttle } from './last-shuttle.ts';
import type {
  CheckpointForecast,
  CutoffForecast,
  Forecast,
  ForecastCutoff,
  HangingForecast,
  PaceFactor,
  Quantiles,
  RainForecast,
} from './model.ts';
import { dayOf } from './nights.ts';
import { normalQuantile } from './normal.ts';
import type { Outcomes } from './outcomes.ts';
import { linearCombination } from './pace.ts';
import { quantilesOf, shareBy } from './quantiles.ts';
import { onwardMin } from './state.ts';

const SHARES = [0.1, 0.5, 0.9] as const;
/** A smaller chance that no end is found isn't worth a word. */
const UNFINISHED_LEAST = 1e-4;

/** What one line after a post needs of a forecast. */
export type Brief = Pick<
  Forecast,
  | 'topout'
  | 'days'
  | 'trailhead'
  | 'cutoffs'
  | 'shuttle'
  | 'nights'
  | 'nextNight'
  | 'plannedNight'
  | 'exposedNight'
  | 'rain'
  | 'pace'
  | 'unfinished'
>;

/** Minutes since now as epoch milliseconds, whole. */
function toMs(c: Compiled, min: number): number {
  return Number.isFinite(min) ? Math.round(c.input.nowMs + min * 60000) : min;
}

/** Quantiles of a column, as instants. */
export function quantiles(c: Compiled, o: Outcomes, column: Float64Array): Quantiles {
  const [q10, q50, q90] = quantilesOf(column, SHARES, o.room) as [number, number, number];
  return { q10: toMs(c, q10), q50: toMs(c, q50), q90: toMs(c, q90) };
}

/** Leg of a pitch index. */
function legOf(c: Compiled, pitchIndex: number): number {
  return c.legs.findIndex((leg) => leg.first <= pitchIndex && pitchIndex <= leg.last);
}

/** When each pitch is done: told, or projected; a linked pitch with the link. */
function* checkpointsOf(c: Compiled, o: Outcomes): Generator<void, CheckpointForecast[]> {
  const byLeg: Quantiles[] = [];
  for (const column of o.done) {
    byLeg.push(quantiles(c, o, column));
    yield;
  }
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

/** What a cutoff looks at: a column, or the told time where the pitch is done. */
function targetOf(c: Compiled, o: Outcomes, cutoff: ForecastCutoff): Float64Array | number {
  const { target } = cutoff;
  if (target === 'topout') return o.topout;
  if (target === 'down' || target === 'trailhead') return o.trailhead;
  const index = c.input.pitches.findIndex((pitch) => pitch.number === target.pitch);
  const actual = c.input.pitches[index]?.actual?.doneAtMs;
  if (actual !== undefined) return (actual - c.input.nowMs) / 60000;
  // Done without a post: by now at the latest. Not on the route: never.
  const row = o.done[legOf(c, index) - c.state.leg];
  return row ?? (index >= 0 ? 0 : Number.POSITIVE_INFINITY);
}

/** The chance of each cutoff, and which one binds. */
function cutoffsOf(c: Compiled, o: Outcomes): CutoffForecast[] {
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

/** Hanging times, those who hang at all. */
function* hangingOf(
  c: Compiled,
  o: Outcomes,
  jobs: readonly HangingJob[],
): Generator<void, HangingForecast[]> {
  const out: HangingForecast[] = [];
  for (const [j, job] of jobs.entries()) {
    const column = o.hanging[j] as Float64Array;
    const climber = c.input.climbers[job.climber]?.id;
    const [medianMin, q90Min] = quantilesOf(column, [0.5, 0.9], o.room) as [number, number];
    if (climber === undefined || !(q90Min > 0)) continue;
    out.push({ pitch: job.pitch, climber, medianMin, q90Min });
    yield;
  }
  return out;
}

/** Chance by number of nights still to come, up to the most that can be; no end found is none of them. */
function nightsOf(c: Compiled, { topout, count }: Outcomes): number[] {
  const { startMin } = c.rules;
  const today = Math.max(0, dayOf(startMin, onwardMin(c.state)));
  const onTop = c.rules.nightDay[c.legs.length] as number;
  const ascents: number[] = [0];
  for (const atMin of topout) {
    if (atMin === Number.POSITIVE_INFINITY) continue;
    const day = dayOf(startMin, atMin);
    const nights = Math.max(0, day - today) + (day <= onTop ? 1 : 0);
    while (ascents.length <= nights) ascents.push(0);
    ascents[nights] = (ascents[nights] as number) + 1;
  }
  return ascents.map((n) => n / count);
}

/** Chance that no end is found in the days given. */
function unfinishedOf({ topout }: Outcomes): number {
  const chance = 1 - shareBy(topout, Number.MAX_VALUE);
  return chance < UNFINISHED_LEAST ? 0 : chance;
}

/** Pace as factors against the defaults, each with its 80 % interval: all that has been learnt. */
export function paceOf(c: Compiled): Forecast['pace'] {
  const reach = normalQuantile(0.9);
  const factors = (...effects: number[]): PaceFactor => {
    const weights = new Array<number>(c.layout.effects).fill(0);
    for (const effect of effects) weights[effect] = 1;
    const { mean, sd } = linearCombination(c.posterior, weights);
    return {
      factor: Math.exp(mean),
      low: Math.exp(mean - reach * sd),
      high: Math.exp(mean + reach * sd),
    };
  };
  const today = Math.max(0, dayOf(c.rules.startMin, 0));
  return {
    party: { ...factors(PARTY_EFFECT), stages: c.observations },
    leaders: c.input.climbers.map((climber, index) => ({
      climber: climber.id,
      ...factors(PARTY_EFFECT, leaderEffect(index, false)),
      aid: factors(PARTY_EFFECT, AID_EFFECT, leaderEffect(index, true)),
      stages: c.leaderObservations[index] ?? 0,
    })),
    aid: factors(AID_EFFECT),
    haul: factors(HAUL_EFFECT),
    changeover: factors(CHANGEOVER_EFFECT),
    today: factors(dayEffect(c.input.climbers.length, today)),
    uneven: c.uneven,
  };
}

/** Puts the forecast together, a column at a time. */
export function* summarise(
  c: Compiled,
  o: Outcomes,
  jobs: readonly HangingJob[],
): Generator<void, Forecast> {
  const brief = briefly(c, o);
  yield;
  const checkpoints = yield* checkpointsOf(c, o);
  const hanging = yield* hangingOf(c, o, jobs);
  return {
    atMs: c.input.nowMs,
    ...brief,
    checkpoints,
    ...(c.wayOut.departureMin.length > 0 ? { boarding: quantiles(c, o, o.away) } : {}),
    hanging,
  };
}

/** What one line needs of it. */
export function briefly(c: Compiled, o: Outcomes): Brief {
  const shuttle = lastShuttle(c, o);
  const [night, planned] = [nextNight(c, o), plannedNight(c, o)];
  return {
    topout: quantiles(c, o, o.topout),
    days: topoutDays(c, o),
    trailhead: quantiles(c, o, o.trailhead),
    ...(shuttle ? { shuttle } : {}),
    cutoffs: cutoffsOf(c, o),
    nights: nightsOf(c, o),
    ...(night ? { nextNight: night } : {}),
    ...(planned ? { plannedNight: planned } : {}),
    exposedNight: o.exposed / o.count,
    ...(c.rain && c.state.leg < c.legs.length ? { rain: rainOf(c, o) } : {}),
    pace: paceOf(c),
    unfinished: unfinishedOf(o),
  };
}

/** How the ascents fare in the rain. */
function rainOf(c: Compiled, { rain, count }: Outcomes): RainForecast {
  const { dryTop, caught, heldAt, costMin } = rain;
  const most = heldAt.indexOf(Math.max(...heldAt));
  const pitch = c.input.pitches[c.legs[most - 1]?.last ?? -1]?.number ?? 0;
  const [middle] = caught > 0 ? quantilesOf(costMin.subarray(0, caught), [0.5]) : [];
  return {
    dryTop: dryTop / count,
    caught: caught / count,
    ...(caught > 0 ? { where: { pitch, chance: (heldAt[most] as number) / count } } : {}),
    ...(middle === undefined ? {} : { costMin: middle }),
  };
}
