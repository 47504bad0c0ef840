import { currentPitch, type TripState } from '../trip/state.ts';
import { groundNights } from './planned-nights.ts';
import { daysOf } from './trip-days.ts';

/** A day of the plan: the pitches meant for it, and the night that ends it; without one everyone is down. */
export interface PlannedDay {
  /** Counted from 1. */
  day: number;
  startMs: number;
  stopMs: number;
  /** First and last pitch; none on a day that is for the way down only. */
  pitches?: { from: number; to: number };
  /** The pitch after which the night is spent. */
  night?: number;
}

/** The days of the plan, from the first day of climbing to the one that has everyone down. */
export function planDays(state: TripState, nowMs: number): PlannedDay[] {
  const top = state.pitches.length;
  const days = daysOf(state, nowMs);
  const nights = state.bivyPlan.filter((pitch) => pitch <= top);
  const before = groundNights(state);
  return [...nights, undefined].flatMap((night, i): PlannedDay[] => {
    const times = days[before + i];
    if (times === undefined) return [];
    const from = (nights[i - 1] ?? 0) + 1;
    const to = night ?? top;
    return [
      {
        ...{ day: before + i + 1, startMs: times.startMs, stopMs: times.stopMs },
        ...(from > to ? {} : { pitches: { from, to } }),
        ...(night === undefined ? {} : { night }),
      },
    ];
  });
}

/** Pitches done from the ground up, without a gap. */
export function pitchesDone(state: TripState): number {
  const current = currentPitch(state);
  return current === undefined ? state.pitches.length : current.number - 1;
}
