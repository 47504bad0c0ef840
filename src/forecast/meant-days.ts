import type { TripState } from '../trip/state.ts';
import { chosenWay } from './chosen.ts';
import { figuresOf } from './figures.ts';
import { sleepersOf } from './input.ts';
import type { Forecast, ForecastDay } from './model.ts';
import { nightAt } from './nights-told.ts';
import { type PlannedDay, pitchesDone, planDays } from './plan-days.ts';
import { nightsToCome, workAt } from './planned-nights.ts';
import { holdUntil, settledNight } from './told-pauses.ts';
import { begun, daysOf } from './trip-days.ts';

/** A day as it went, or as it is meant from what is true now. */
export interface MeantDay extends Omit<PlannedDay, 'pitches'> {
  /** First and last pitch; none on a day without any. Without `to` it is open how far they get. */
  pitches?: { from: number; to?: number };
  /** Where the day before ends is open, so is the first pitch of this one. */
  fromOpen?: true;
  /** The day is over, or they lie down: it went so. */
  over: boolean;
  /** Since when they lay down, where that was told, epoch milliseconds. */
  settledMs?: number;
  /** No night is planned for that day, but most ascents spend one, there most often. */
  likely?: true;
  /** How the day was planned to end, where it ends otherwise: a night, or none. */
  planned?: { night?: number };
}

/** From this chance on, a day is taken for the one on which they top out. */
const LIKELY = 0.5;
/** A planned night is out of reach below this chance to be there by the stop time. Engineering choice. */
const LOST = 0.1;

/**
 * The days from the first to the one that has everyone down. Days that are over are as they went; the rest is laid
 * out anew from where the party is: planned nights still to come on their evenings, what was chosen where
 * the plan no longer fitted, and else where the forecast has them sleep.
 */
export function meantDays(
  state: TripState,
  forecast: Pick<Forecast, 'days' | 'nextNight' | 'plannedNight'>,
  nowMs: number,
): MeantDay[] {
  const planned = planDays(state, nowMs);
  if (!begun(state)) return planned.map((day) => ({ ...day, over: false }));
  const days = daysOf(state, nowMs);
  const out: MeantDay[] = [];
  const offMs = firstMoveMs(state, days, nowMs);
  const nights = nightsToCome(state, days);
  let below = 0;
  for (let d = 0; d < days.length; d++) {
    const { startMs: usualMs, stopMs } = days[d] as ForecastDay;
    const startMs = offMs > usualMs && offMs <= stopMs ? offMs : usualMs;
    const isNow = out.every((day) => day.over);
    const end =
      went(state, days, d, nowMs) ??
      (isNow ? chosenEnd(state, days, nowMs) : undefined) ??
      meant(state, { days, d, below, nights }, forecast, isNow);
    const was = planned.find((day) => day.day === d + 1);
    out.push({
      ...{ day: d + 1, startMs, stopMs, over: end.over },
      ...pitchesOf(below, end),
      ...(isOpen(out.at(-1)) ? { fromOpen: true as const } : {}),
      ...(end.night === undefined ? {} : { night: end.night }),
      ...(end.settledMs === undefined ? {} : { settledMs: end.settledMs }),
      ...(end.likely ? { likely: true } : {}),
      ...(was === undefined || was.night === end.night ? {} : { planned: nightOf(was) }),
    });
    below = Math.max(below, end.to ?? below);
    if (!end.over && end.to !== undefined && end.night === undefined) break;
  }
  return out;
}

/** When they move on from a night or a hold they are in; 0 where they are in none. */
function firstMoveMs(state: TripState, days: readonly ForecastDay[], nowMs: number): number {
  const sleepers = sleepersOf(state);
  const work = (pitch: number) => workAt(state, pitch, sleepers, figuresOf(state));
  const settled = settledNight(state, days, nowMs, work)?.untilMs ?? 0;
  const offMs = Math.max(settled, holdUntil(state, nowMs) ?? 0);
  // What ends by now is over.
  return offMs > nowMs ? offMs : 0;
}

const nightOf = ({ night }: PlannedDay): { night?: number } =>
  night === undefined ? {} : { night };

const isOpen = (day: MeantDay | undefined): boolean =>
  day?.pitches !== undefined && day.pitches.to === undefined;

function pitchesOf(below: number, { to }: End): Pick<MeantDay, 'pitches'> {
  if (to === undefined) return { pitches: { from: below + 1 } };
  return to > below ? { pitches: { from: below + 1, to } } : {};
}

/** Where a day ends. */
interface End {
  over: boolean;
  /** The last pitch; undefined where that is open, with a night on the wall. */
  to?: number;
  night?: number;
  settledMs?: number;
  likely?: boolean;
}

/** A day that is over, or whose night was told. */
function went(
  state: TripState,
  days: readonly ForecastDay[],
  d: number,
  nowMs: number,
): End | undefined {
  const endMs = days[d + 1]?.startMs ?? Number.POSITIVE_INFINITY;
  const slept = nightAt(state, days, d);
  if (slept === undefined && endMs > nowMs) return undefined;
  const to = doneBy(state, endMs);
  if (slept !== undefined) {
    return { over: true, to, night: slept.pitch, settledMs: slept.sinceMs };
  }
  // Nobody told of a night: they are taken to have slept where it was planned, if they were there.
  const untold = state.bivyPlan.includes(to) ? { night: to } : {};
  return { over: true, to, ...untold };
}

/** The highest pitch done by then. */
function doneBy({ pitches }: TripState, endMs: number): number {
  return pitches.findLast((p) => p.done !== undefined && p.done.atMs < endMs)?.number ?? 0;
}

/** Where this day ends by what was chosen: on in the dark to there, or back to the stance after fixing a pitch. */
function chosenEnd(state: TripState, days: readonly ForecastDay[], nowMs: number): End | undefined {
  const done = pitchesDone(state);
  const { darkTo, fixTonight, settled } = chosenWay(state, days, nowMs, sleepersOf(state));
  if (fixTonight || settled) return { over: false, to: done, night: done };
  if (darkTo === undefined || darkTo === state.pitches.length) return undefined;
  return { over: false, to: darkTo, night: darkTo };
}

/** What a day to come is laid out from. */
interface Ahead {
  days: readonly ForecastDay[];
  d: number;
  /** The last pitch of the day before. */
  below: number;
  nights: readonly { pitch: number; day: number }[];
}

/**
 * A day that is not over: where it is meant to end, or where most ascents do. A planned night that is out of reach
 * is meant no more.
 */
function meant(
  state: TripState,
  { days, d, below, nights }: Ahead,
  { days: tops, nextNight, plannedNight }: Pick<Forecast, 'days' | 'nextNight' | 'plannedNight'>,
  isNow: boolean,
): End {
  const top = state.pitches.length;
  const from = Math.max(below, pitchesDone(state));
  const night = nights.find((n) => n.day === d && n.pitch >= from)?.pitch;
  const isLost = plannedNight?.pitch === night && (plannedNight?.chance ?? 1) < LOST;
  if (night !== undefined && !isLost) return { over: false, to: night, night };
  const endMs = days[d + 1]?.startMs ?? Number.POSITIVE_INFINITY;
  const topToday = tops.reduce((p, t) => (t.topout.q50 < endMs ? p + t.chance : p), 0);
  if (from === top || topToday >= LIKELY || d === days.length - 1) return { over: false, to: top };
  const isLikely = (nextNight?.chance ?? 0) >= LIKELY;
  if (!isNow || nextNight === undefined || !isLikely || nextNight.pitch < from)
    return { over: false };
  return { over: false, to: nextNight.pitch, night: nextNight.pitch, likely: true };
}
