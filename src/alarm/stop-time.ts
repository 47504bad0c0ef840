import { chosenWay } from '../forecast/chosen.ts';
import { sleepersOf } from '../forecast/input.ts';
import { pitchesDone } from '../forecast/plan-days.ts';
import { nightsToCome } from '../forecast/planned-nights.ts';
import { daysOf } from '../forecast/trip-days.ts';
import { modeOf } from '../trip/mode.ts';
import { pitchAt, type TripState } from '../trip/state.ts';
import { watched } from './expectations.ts';
import { phaseNow } from './ladder.ts';
import { mayAsk } from './late.ts';

const MINUTE_MS = 60_000;
/** So long after the stop time it is asked: a post about it may be on its way. Engineering choice. */
const QUIET_MS = 10 * MINUTE_MS;
/** So shortly before the stop time nobody begins a pitch without being asked by the answer. Engineering choice. */
export const LATE_MS = 30 * MINUTE_MS;
/** A post about longer ago isn't where they are now. Engineering choice. */
export const FRESH_MS = 60 * MINUTE_MS;
/** So long after the stop time it is too late to ask: they have found their own way. Engineering choice. */
const OVER_MS = 3 * 60 * MINUTE_MS;

/** A planned night whose stop time has passed, and no word that they are there. */
export interface StopPassed {
  /** The planned night is after this pitch. */
  night: number;
  /** The last pitch done, as told. */
  done: number;
  /** Epoch milliseconds. */
  stopMs: number;
}

/** Planned nights that they are not told to have reached, with the stop times of their days. */
function stops(state: TripState, nowMs: number): { night: number; stopMs: number }[] {
  if (state.bivyPlan.length === 0) return [];
  const days = daysOf(state, nowMs);
  const nights = nightsToCome(state, days);
  const done = pitchesDone(state);
  return nights.flatMap(({ pitch, day }) => {
    const stopMs = days[day]?.stopMs;
    return stopMs === undefined || pitch <= done ? [] : [{ night: pitch, stopMs }];
  });
}

/** When to look whether the party is where it meant to sleep: shortly after the stop time of each planned night. */
export function stopDeadlines(
  state: TripState,
  nowMs: number,
): { key: string; dueAtMs: number; data: null }[] {
  if (!watched(state)) return [];
  return stops(state, nowMs)
    .filter(({ stopMs }) => stopMs + QUIET_MS > nowMs)
    .map(({ night, stopMs }) => ({
      ...{ key: `ask:stop:${night}:${stopMs}`, dueAtMs: stopMs + QUIET_MS },
      data: null,
    }));
}

/**
 * What is to be asked now of a party that climbs: the stop time of a planned night has passed in silence. Not
 * once people at home are told that nothing is heard, nor when the answer to a post has asked already, nor once they have chosen.
 */
export function stopPassed(state: TripState, nowMs: number): StopPassed | undefined {
  if (!watched(state) || !mayAsk(state, nowMs)) return undefined;
  if ((phaseNow(state)?.phase ?? 'due') !== 'due') return undefined;
  if (modeOf(state, nowMs).is !== 'climbing') return undefined;
  const done = pitchesDone(state);
  const passed = stops(state, nowMs).find(
    ({ stopMs }) => stopMs <= nowMs && nowMs < stopMs + OVER_MS,
  );
  if (done === 0 || passed === undefined || isAsked(state, done, passed.stopMs)) return undefined;
  const way = chosenWay(state, daysOf(state, nowMs), nowMs, sleepersOf(state));
  return way.darkTo === undefined ? { ...passed, done } : undefined;
}

/** The answer to the last post has asked, as it came about the stop time. */
function isAsked(state: TripState, done: number, stopMs: number): boolean {
  const last = pitchAt(state, done)?.done;
  if (last === undefined || last.recordedAtMs < stopMs - LATE_MS) return false;
  return last.recordedAtMs - last.atMs <= FRESH_MS;
}
