import type { LatestTime } from './latest.ts';
import type { Forecast, ForecastDay, Span } from './model.ts';

/** One checkpoint of a frozen plan. */
export interface PlannedCheckpoint {
  pitch: number;
  /** Median time when the plan was made. */
  plannedMs: number;
  /** Latest time that keeps the cutoffs with the trip's confidence; undefined when there was none. */
  latestMs?: number;
}

/** Freezes a plan from a forecast and the latest times made at the same moment. */
export function freezePlan(forecast: Forecast, latest: readonly LatestTime[]): PlannedCheckpoint[] {
  const byPitch = new Map(latest.map((entry) => [entry.pitch, entry.latestMs]));
  return forecast.checkpoints.map(({ pitch, done }) => {
    const latestMs = byPitch.get(pitch);
    return { pitch, plannedMs: done.q50, ...(latestMs === undefined ? {} : { latestMs }) };
  });
}

/** Nights as planned: from a checkpoint to the next day's first move, for pairs of checkpoints on two days. */
export function plannedNightSpans(
  plan: readonly PlannedCheckpoint[],
  days: readonly Pick<ForecastDay, 'startMs'>[],
): Span[] {
  return plan.flatMap(({ plannedMs: fromMs }, i): Span[] => {
    const next = plan[i + 1]?.plannedMs;
    if (next === undefined) return [];
    const toMs = days.findLast((day) => day.startMs > fromMs && day.startMs <= next)?.startMs;
    return toMs === undefined ? [] : [{ fromMs, toMs }];
  });
}

/** A checkpoint as it went or is projected to go, beside the plan. */
export interface CheckpointStanding extends PlannedCheckpoint {
  actualMs?: number;
  projectedMs?: number;
  /** Later than planned by this much, minutes; negative is ahead. Actual, else projected. */
  lateMin?: number;
  /** From the actual or projected time to the latest, minutes; negative is past it. */
  marginMin?: number;
}

/** The one word for where a party stands against its plan. */
export type ScheduleWord = 'ahead' | 'on schedule' | 'behind';

/** Where a party stands against its plan. */
export interface Standing {
  word: ScheduleWord;
  /** Why that word: the planned time of the last checkpoint, silence past the next, or the latest time. */
  reason: 'last checkpoint' | 'silence' | 'latest time' | 'nothing done yet';
  /** The last checkpoint done, 0 before the first. */
  lastPitch: number;
  /** Late against the plan, minutes: at the last checkpoint, or by silence past a planned one if that is more. */
  lateMin: number;
  /** The first checkpoint ahead whose plan has a latest time. */
  next?: {
    pitch: number;
    latestMs: number;
    /** From now to the latest time, minutes. */
    leftMin: number;
    /** From the projected time to the latest, minutes; negative: not expected to be met. */
    marginMin?: number;
  };
  checkpoints: CheckpointStanding[];
}

/** What happened and what is expected, by pitch. */
export interface Progress {
  nowMs: number;
  actual: ReadonlyMap<number, number>;
  projected: ReadonlyMap<number, number>;
  /** Within this many minutes of the plan counts as on schedule. */
  toleranceMin: number;
  /** Until when it means that nothing was done if nothing was told; now when left out. */
  knownMs?: number;
  /** Nights as planned: no work was planned in them, so they count neither as late nor as early. */
  nights?: readonly Span[];
}

/** Reads progress out of a forecast made now. */
export function progressOf(
  forecast: Forecast,
  toleranceMin: number,
  nights: readonly Span[] = [],
): Progress {
  const told = forecast.checkpoints.filter((c) => c.actual !== undefined);
  const ahead = forecast.checkpoints.filter((c) => c.actual === undefined);
  const { silence } = forecast;
  // What isn't told, and may well be done by now, is nobody's lateness.
  const isUntold = silence !== undefined && silence.byNow > (told.at(-1)?.pitch ?? 0);
  return {
    nowMs: forecast.atMs,
    actual: new Map(told.map((c) => [c.pitch, c.done.q50])),
    projected: new Map(ahead.map((c) => [c.pitch, c.done.q50])),
    toleranceMin,
    nights,
    ...(isUntold ? { knownMs: silence.heardMs } : {}),
  };
}

const minutes = (fromMs: number, toMs: number): number => (toMs - fromMs) / 60000;

/** Planned work between two moments, minutes: planned nights left out. Negative from a later one to an earlier. */
function workBetween(fromMs: number, toMs: number, nights: readonly Span[] = []): number {
  const [low, high] = [Math.min(fromMs, toMs), Math.max(fromMs, toMs)];
  const slept = nights.reduce(
    (sum, n) => sum + Math.max(0, Math.min(n.toMs, high) - Math.max(n.fromMs, low)),
    0,
  );
  return (Math.sign(toMs - fromMs) * (high - low - slept)) / 60000;
}

function standingOf(plan: PlannedCheckpoint, p: Progress): CheckpointStanding {
  const actualMs = p.actual.get(plan.pitch);
  const projectedMs = actualMs === undefined ? p.projected.get(plan.pitch) : undefined;
  const out: CheckpointStanding = { ...plan };
  if (actualMs !== undefined) out.actualMs = actualMs;
  if (projectedMs !== undefined) out.projectedMs = projectedMs;
  const at = actualMs ?? projectedMs;
  if (at === undefined) return out;
  out.lateMin = workBetween(plan.plannedMs, at, p.nights);
  if (plan.latestMs !== undefined) out.marginMin = minutes(at, plan.latestMs);
  return out;
}

/**
 * Ahead or behind is work done against work planned by now, in minutes of planned climbing: the plan's nights
 * are left out. It is judged twice: by the planned time of the last checkpoint, and by the latest time of
 * the next. Whoever is silent past a planned checkpoint is behind by the time since, though nothing
 * was posted; the checkpoint after it counts too, when its time has passed as well.
 *
 * @param plan in the order of the route
 */
export function assess(plan: readonly PlannedCheckpoint[], progress: Progress): Standing {
  const { nowMs, toleranceMin } = progress;
  const checkpoints = plan.map((entry) => standingOf(entry, progress));
  const last = checkpoints.findLastIndex((c) => c.actualMs !== undefined);
  const done = checkpoints[last];
  const ahead = checkpoints.slice(last + 1);
  const atLastMin = done?.lateMin;
  const silentMin = ahead[0]
    ? workBetween(ahead[0].plannedMs, progress.knownMs ?? nowMs, progress.nights)
    : Number.NEGATIVE_INFINITY;
  const silent = silentMin > Math.max(0, atLastMin ?? 0);
  const lateMin = silent ? silentMin : (atLastMin ?? 0);
  const bound = ahead.find((c) => c.latestMs !== undefined);
  const standing: Standing = {
    word: lateMin > toleranceMin ? 'behind' : lateMin < -toleranceMin ? 'ahead' : 'on schedule',
    reason: silent ? 'silence' : done ? 'last checkpoint' : 'nothing done yet',
    lastPitch: done?.pitch ?? 0,
    lateMin,
    checkpoints,
  };
  if (bound?.latestMs !== undefined) {
    standing.next = {
      pitch: bound.pitch,
      latestMs: bound.latestMs,
      leftMin: minutes(nowMs, bound.latestMs),
      ...(bound.marginMin === undefined ? {} : { marginMin: bound.marginMin }),
    };
    const lost = (bound.marginMin ?? standing.next.leftMin) < 0;
    if (lost && standing.word !== 'behind') {
      standing.word = 'behind';
      standing.reason = 'latest time';
    }
  }
  return standing;
}
