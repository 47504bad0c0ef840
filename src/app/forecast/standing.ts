import { figuresOf } from '../../forecast/figures.ts';
import type { Forecast } from '../../forecast/model.ts';
import { asForecast, lastRope } from '../../forecast/rope-behind.ts';
import {
  assess,
  type PlannedCheckpoint,
  plannedNightSpans,
  progressOf,
  type Standing,
} from '../../forecast/schedule.ts';
import { begun, daysOf, firstDay } from '../../forecast/trip-days.ts';
import { capital } from '../../say/capital.ts';
import { aheadBehind, dayClock, duration } from '../../time/format.ts';
import { daysBetween, localDay } from '../../time/zone.ts';
import { isPause, modeOf, toppedOutMs } from '../../trip/mode.ts';
import type { TripState } from '../../trip/state.ts';

/** Why nobody is behind just now; undefined when the party is meant to move. */
export function pauseWords(state: TripState, nowMs: number): string | undefined {
  const mode = modeOf(state, nowMs);
  if (!isPause(mode)) return undefined;
  return {
    settled: 'Settled for the night; not behind for that.',
    waiting: 'Waiting; not behind for that.',
    retreating: 'Coming down; the schedule no longer counts.',
  }[mode.is];
}

/** Where the party stands against its schedule; undefined when none was set. */
export function standingOf(state: TripState, forecast: Forecast): Standing | undefined {
  if (state.schedule === undefined) return undefined;
  const { scheduleToleranceMin } = figuresOf(state);
  const plan = planFor(state, lastRope(state) !== undefined);
  const progress = progressOf(forecast, scheduleToleranceMin, nightsOf(state, plan));
  return assess(plan, { ...progress, actual: allUp(state, progress.actual) });
}

/** The last pitch counts from when the last rope was up. */
function allUp(state: TripState, actual: ReadonlyMap<number, number>): Map<number, number> {
  const topMs = toppedOutMs(state);
  return new Map([
    ...actual,
    ...(topMs === undefined ? [] : [[state.pitches.length, topMs] as const]),
  ]);
}

/** `Behind by 40 min at pitch 5.`: for an answer that names a latest time of its own. */
export function judgedLine(
  state: TripState,
  forecast: Forecast,
  nowMs: number,
  namesLatest: boolean,
): string | undefined {
  const standing = standingOf(state, forecast);
  if (standing === undefined) return undefined;
  const paused = pauseWords(state, nowMs) ?? ofAnotherDay(state, nowMs);
  if (namesLatest && paused !== undefined) return paused;
  return namesLatest ? `${judgement(standing)}.` : standingWords(state, standing, nowMs);
}

/** `Behind by 40 min at pitch 5; 1 h 10 left before the latest time for pitch 6 (14:20).` */
export function standingWords(state: TripState, standing: Standing, nowMs: number): string {
  const another = ofAnotherDay(state, nowMs);
  if (another !== undefined) return another;
  const paused = pauseWords(state, nowMs);
  const { next } = standing;
  if (paused !== undefined) {
    // A pause is nobody's lateness, but a latest time doesn't wait.
    if (next === undefined || modeOf(state, nowMs).is === 'retreating') return paused;
    const has = next.leftMin < 0 ? 'has passed' : 'is out of reach from here';
    return next.leftMin < 0 || (next.marginMin ?? 0) < 0
      ? `${paused} The latest time for pitch ${next.pitch} (${dayClock(state.zone, next.latestMs, nowMs)}) ${has}.`
      : paused;
  }
  return `${judgement(standing)}${
    next === undefined
      ? '.'
      : next.leftMin >= 0
        ? `; ${duration(next.leftMin)} left before the latest time for pitch ${next.pitch} (${dayClock(state.zone, next.latestMs, nowMs)}).`
        : `; the latest time for pitch ${next.pitch} (${dayClock(state.zone, next.latestMs, nowMs)}) has passed.`
  }`;
}

/** Before the climb, a schedule of another first day than the plan's judges nobody. */
function ofAnotherDay(state: TripState, nowMs: number): string | undefined {
  const [first] = state.schedule?.checkpoints ?? [];
  if (first === undefined || begun(state)) return undefined;
  return daysBetween(localDay(state.zone, first.plannedMs), firstDay(state, nowMs)) === 0
    ? undefined
    : 'The schedule is of another first day than the plan: /schedule set';
}

function judgement({ word, reason, lateMin, lastPitch, next }: Standing): string {
  const by = duration(Math.abs(lateMin));
  switch (reason) {
    case 'silence':
      return word === 'behind'
        ? `Behind by ${by}: pitch ${lastPitch + 1} was planned by then and nothing was told`
        : 'On schedule';
    case 'latest time':
      return `Behind: pitch ${next?.pitch ?? lastPitch + 1} is not expected by its latest time`;
    case 'nothing done yet':
      return 'On schedule, no pitch done yet';
    case 'last checkpoint':
      return word === 'on schedule'
        ? `On schedule at pitch ${lastPitch}`
        : `${word === 'behind' ? 'Behind' : 'Ahead'} by ${by} at pitch ${lastPitch}`;
  }
}

export function standingLine(
  state: TripState,
  forecast: Forecast,
  nowMs: number,
): string | undefined {
  const standing = standingOf(state, forecast);
  return standing === undefined ? undefined : standingWords(state, standing, nowMs);
}

/** `Behind by 35 min. `; against the last checkpoint told, or nothing without a schedule. */
export function lateWords(state: TripState, nextMs: number | undefined, nowMs: number): string {
  if (state.schedule === undefined || isPause(modeOf(state, nowMs))) return '';
  const { scheduleToleranceMin } = figuresOf(state);
  const { pitches, last } = asForecast(state);
  const plan = planFor(state, last !== undefined);
  const told = new Map(
    pitches.flatMap(({ number, done }) =>
      done === undefined || done.timeUnknown === true ? [] : [[number, done.atMs] as const],
    ),
  );
  const next = pitches.find((p) => p.done === undefined);
  const projected = new Map(
    next === undefined || nextMs === undefined ? [] : [[next.number, nextMs] as const],
  );
  const standing = assess(plan, {
    nowMs,
    actual: allUp(state, told),
    projected,
    toleranceMin: scheduleToleranceMin,
    nights: nightsOf(state, plan),
  });
  if (standing.lastPitch === 0) return '';
  const said = aheadBehind(standing.lateMin, scheduleToleranceMin);
  return `${capital(said)}. `;
}

function nightsOf(state: TripState, plan: readonly PlannedCheckpoint[]) {
  return plannedNightSpans(plan, daysOf(state, state.schedule?.setAtMs ?? 0));
}

/** The frozen plan for the rope that is judged: the one behind is meant to come a pitch after the one in front. */
function planFor({ schedule }: TripState, isBehind: boolean): PlannedCheckpoint[] {
  const plan = schedule === undefined ? [] : planOf(schedule);
  if (!isBehind) return plan;
  return plan.map((c, i) => {
    const [before, after] = [plan[i - 1], plan[i + 1]];
    if (after === undefined) return c;
    // Between a pitch and the next may lie a night.
    const next = after.plannedMs - c.plannedMs;
    const gapMs = before === undefined ? next : Math.min(next, c.plannedMs - before.plannedMs);
    const latest = c.latestMs === undefined ? {} : { latestMs: c.latestMs + gapMs };
    return { ...c, plannedMs: c.plannedMs + gapMs, ...latest };
  });
}

/** The frozen plan as the forecast takes it. */
export function planOf(schedule: NonNullable<TripState['schedule']>): PlannedCheckpoint[] {
  return schedule.checkpoints.map(({ pitch, plannedMs, latestMs }) => ({
    pitch,
    plannedMs,
    ...(latestMs === undefined ? {} : { latestMs }),
  }));
}
