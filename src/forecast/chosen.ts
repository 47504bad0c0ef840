import { currentPitch, type TripState } from '../trip/state.ts';
import { canSleep, type Sleepers } from './beds.ts';
import type { ForecastDay, ForecastInput } from './model.ts';

/** Where a party that goes on past the stance after `done` ends its day: the next planned night, a bed, the top. */
export function nextEnd(state: TripState, done: number, party: Sleepers): number {
  const planned = state.bivyPlan.find((pitch) => pitch > done);
  const bed = state.pitches.find(
    ({ number, bivy: kind, places }) =>
      number > done &&
      canSleep({ bivy: { kind, ...(places === undefined ? {} : { places }) } }, party),
  );
  return Math.min(planned ?? Infinity, bed?.number ?? Infinity, state.pitches.length);
}

/**
 * What the party chose, as far as it still holds: for the evening on which it was chosen, and no longer once a
 * night was told. A line that is begun to be fixed is left for the night.
 */
export function chosenWay(
  state: TripState,
  days: readonly ForecastDay[],
  nowMs: number,
  party: Sleepers,
): Pick<ForecastInput, 'fixTonight' | 'darkTo' | 'settled'> {
  const { chosen, nights } = state;
  const current = currentPitch(state);
  if (chosen === undefined || chosen.way === 'stay' || current === undefined) return {};
  const morningMs = days.find((day) => day.startMs > chosen.atMs)?.startMs ?? 0;
  const slept = (nights.at(-1)?.sinceMs ?? Number.NEGATIVE_INFINITY) >= chosen.atMs;
  if (slept || nowMs >= morningMs) return {};
  const done = current.number - 1;
  if (chosen.way === 'dark') {
    const to = nextEnd(state, chosen.pitch, party);
    return done >= chosen.pitch && done < to ? { darkTo: to } : {};
  }
  if (done !== chosen.pitch) return {};
  const begun = current.fixed ?? current.started;
  return begun === undefined
    ? { fixTonight: true }
    : { settled: { sinceMs: current.fixed?.atMs ?? nowMs, untilMs: morningMs } };
}
