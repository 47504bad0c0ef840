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

/** The next pitch is begun at `atMs`, where it isn't under way: going on is chosen, whatever the hour. */
export function begunAt(input: ForecastInput, atMs: number): ForecastInput {
  const next = input.pitches.findIndex((p) => p.actual?.doneAtMs === undefined);
  const pitch = input.pitches[next];
  if (pitch === undefined || pitch.actual !== undefined) return input;
  const begun = { ...pitch, actual: { startedAtMs: atMs, leader: pitch.leader } };
  return { ...input, pitches: input.pitches.with(next, begun) };
}

/** When the party chose to climb on from the stance where it still is; undefined where it didn't, or a morning has come. */
export function choseOnMs(
  state: TripState,
  days: readonly ForecastDay[],
  nowMs: number,
): number | undefined {
  const { chosen, nights } = state;
  if (chosen?.way !== 'on' || currentPitch(state)?.number !== chosen.pitch + 1) return undefined;
  const slept = nights.some((night) => night.sinceMs >= chosen.atMs);
  const isOver = days.some((day) => day.startMs > chosen.atMs && day.startMs <= nowMs);
  return slept || isOver || chosen.atMs > nowMs ? undefined : chosen.atMs;
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
  if (chosen === undefined || chosen.way === 'stay' || chosen.way === 'on' || current === undefined)
    return {};
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
