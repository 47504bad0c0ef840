import type { DescentPoint } from './kinds/descent.ts';
import type { Night } from './kinds/night.ts';
import { openRetreat, type Retreat } from './kinds/retreat.ts';
import type { Wait } from './kinds/wait.ts';
import type { PitchState, TripState } from './state.ts';
import { frontTopMs, ropeMarks, ropesBelow } from './two-ropes.ts';
import { holdOf } from './wet-rock-hold.ts';

/** What the party does now. Exactly one at a time. */
export type Mode =
  /** Not departed, and nothing begun. */
  | { is: 'preparing' }
  /** Departed; the first pitch is not begun, by what was told. */
  | { is: 'going in'; sinceMs: number }
  | { is: 'climbing' }
  /** A night under way. */
  | { is: 'settled'; night: Night }
  | Waiting
  | { is: 'retreating'; retreat: Retreat; point?: DescentPoint }
  /** On the way from the top; how far, as last told. */
  | { is: 'going down'; sinceMs: number; point?: DescentPoint; pointMs?: number }
  | { is: 'down'; atMs: number }
  | { is: 'closed'; atMs: number };

/** The name of a mode. */
export type ModeName = Mode['is'];

/** Not climbing on for now. `untilMs` is left out while the end isn't known. */
export interface Waiting {
  is: 'waiting';
  why: 'rain' | 'wet rock' | Wait['why'];
  sinceMs: number;
  untilMs?: number;
  words?: string;
}

/**
 * The mode that the facts told amount to at a moment. What the party told itself goes before what the
 * rain implies: a night, a wait, a retreat, the way down. The clock decides only what ends by itself:
 * a wait that was to last until a time, and the wet-rock hold. To ask about the past, fold the facts of then.
 *
 * @param nowMs now, or later
 */
export function modeOf(state: TripState, nowMs: number): Mode {
  if (state.closedAtMs !== undefined) return { is: 'closed', atMs: state.closedAtMs };
  if (state.downAtMs !== undefined) return { is: 'down', atMs: state.downAtMs };
  const night = nightNow(state);
  if (night !== undefined) return { is: 'settled', night };
  if (!isUnderWay(state)) return { is: 'preparing' };
  const told = waitNow(state, nowMs);
  if (told !== undefined) return told;
  const retreat = openRetreat(state);
  const reached = pointReached(state);
  if (retreat !== undefined) {
    return {
      is: 'retreating',
      retreat,
      ...(reached === undefined ? {} : { point: reached.point }),
    };
  }
  const topMs = toppedOutMs(state);
  if (topMs !== undefined || reached !== undefined) {
    const sinceMs = topMs ?? reached?.atMs ?? nowMs;
    return {
      ...{ is: 'going down', sinceMs },
      ...(reached === undefined ? {} : { point: reached.point, pointMs: reached.atMs }),
    };
  }
  const wet = wetNow(state, nowMs);
  if (wet !== undefined) return wet;
  const { departedAtMs } = state;
  return departedAtMs !== undefined && lastMarkMs(state) === undefined
    ? { is: 'going in', sinceMs: departedAtMs }
    : { is: 'climbing' };
}

/** Not moving up, and meant so: neither behind a schedule nor hanging at a stance. */
export function isPause(
  mode: Mode,
): mode is Extract<Mode, { is: 'settled' | 'waiting' | 'retreating' }> {
  return mode.is === 'settled' || mode.is === 'waiting' || mode.is === 'retreating';
}

/** When the last rope was up; undefined before the top, and without a topo. */
export function toppedOutMs(state: TripState): number | undefined {
  const frontMs = frontTopMs(state);
  if (frontMs === undefined || ropesBelow(state).length > 0) return undefined;
  return Math.max(frontMs, ...ropeMarks(state).map((m) => m.atMs));
}

/** Whether nothing is to come any more: everybody is down, or the trip is closed. */
export function isOver({ downAtMs, closedAtMs }: TripState): boolean {
  return downAtMs !== undefined || closedAtMs !== undefined;
}

/** Whether the last pitch is done, and not everybody down yet. */
export function isPastTop(state: TripState): boolean {
  return !isOver(state) && toppedOutMs(state) !== undefined;
}

/** Whether the party has left, or anything of the wall was told. */
export function isUnderWay(state: TripState): boolean {
  return (
    state.departedAtMs !== undefined ||
    lastMarkMs(state) !== undefined ||
    state.retreats.length > 0 ||
    state.descent.length > 0
  );
}

/**
 * The night under way. It ends when it is said to, and also by what can't be done from a bed: a pitch
 * done, a rappel, a retreat, a point of the way down. A line fixed in the evening doesn't end it.
 */
function nightNow(state: TripState): Night | undefined {
  const night = state.nights.at(-1);
  if (night === undefined || night.leftMs !== undefined) return undefined;
  const done = state.pitches.flatMap((p) => p.done?.atMs ?? []);
  return [...done, ...wayDownTimes(state)].some((ms) => ms > night.sinceMs) ? undefined : night;
}

/** Nights as told, each to its end or to the next thing that can't be done from a bed; none reaches past `nowMs`. */
export function nightSpans(state: TripState, nowMs: number): { fromMs: number; toMs: number }[] {
  const acts = [...state.pitches.flatMap((p) => p.done?.atMs ?? []), ...wayDownTimes(state)];
  return state.nights.map(({ sinceMs, leftMs }) => {
    const next = acts.filter((ms) => ms > sinceMs);
    return { fromMs: sinceMs, toMs: leftMs ?? Math.min(nowMs, ...next) };
  });
}

/** A wait that was told, until its end or the next thing that is told to have been done. */
function waitNow(state: TripState, nowMs: number): Waiting | undefined {
  const wait = state.waits.at(-1);
  if (wait === undefined || wait.endedMs !== undefined) return undefined;
  const { why, words, sinceMs, untilMs } = wait;
  if (untilMs !== undefined && untilMs <= nowMs) return undefined;
  if (actTimes(state).some((ms) => ms > sinceMs)) return undefined;
  return {
    ...{ is: 'waiting', why, sinceMs },
    ...(untilMs === undefined ? {} : { untilMs }),
    ...(words === undefined ? {} : { words }),
  };
}

/** Waits as told, each to its end or to the next thing done; none reaches past `nowMs`. */
export function waitSpans(state: TripState, nowMs: number): { fromMs: number; toMs: number }[] {
  const acts = actTimes(state);
  return state.waits.map(({ sinceMs, untilMs, endedMs }) => {
    const next = acts.filter((ms) => ms > sinceMs);
    return { fromMs: sinceMs, toMs: Math.min(endedMs ?? untilMs ?? nowMs, nowMs, ...next) };
  });
}

/** When anything was done that somebody who waits doesn't do. */
function actTimes(state: TripState): number[] {
  const nights = state.nights.flatMap((n) => [n.sinceMs, n.leftMs ?? n.sinceMs]);
  return [...state.pitches.flatMap(timesOf), ...wayDownTimes(state), ...nights];
}

/** Rain, or the hold after it, unless they are told to have climbed on in it. */
function wetNow(state: TripState, nowMs: number): Waiting | undefined {
  const hold = holdOf(state, nowMs);
  if (hold.state === 'raining') {
    if (begunAfter(state, hold.sinceMs)) return undefined;
    return { is: 'waiting', why: 'rain', sinceMs: hold.sinceMs };
  }
  if (hold.state === 'none' || (lastMarkMs(state) ?? 0) > hold.rainEndedMs) return undefined;
  return { is: 'waiting', why: 'wet rock', sinceMs: hold.rainEndedMs, untilMs: hold.untilMs };
}

/** Whether a pitch was begun after a moment: whoever is on one when the rain comes may well finish it. */
function begunAfter({ pitches }: TripState, sinceMs: number): boolean {
  return pitches.some((pitch, i) => {
    const begunMs = pitch.started?.atMs ?? pitches[i - 1]?.done?.atMs;
    return timesOf(pitch).length > 0 && begunMs !== undefined && begunMs > sinceMs;
  });
}

/** The point of the way down that was reached last, unless they are told to have climbed since. */
function pointReached(state: TripState): TripState['descent'][number] | undefined {
  const last = state.descent.at(-1);
  return last !== undefined && last.atMs >= (lastMarkMs(state) ?? 0) ? last : undefined;
}

function wayDownTimes({ retreats, descent }: TripState): number[] {
  return [
    ...retreats.flatMap((r) => [
      r.sinceMs,
      r.stoppedMs ?? r.sinceMs,
      ...r.rappels.map((x) => x.atMs),
    ]),
    ...descent.map((d) => d.atMs),
  ];
}

function timesOf({ started, fixed, done }: PitchState): number[] {
  return [started, fixed, done].flatMap((mark) => mark?.atMs ?? []);
}

function lastMarkMs({ pitches, ropeMarks }: TripState): number | undefined {
  const all = [...pitches.flatMap(timesOf), ...ropeMarks.map((m) => m.atMs)];
  return all.length === 0 ? undefined : Math.max(...all);
}
