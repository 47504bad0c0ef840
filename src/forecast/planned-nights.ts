import { pitchAt, type TripState } from '../trip/state.ts';
import { ropeMarks } from '../trip/two-ropes.ts';
import { bedAt, type NightWork, nightWork, type Sleepers } from './beds.ts';
import type { Settings } from './defaults.ts';
import type { ForecastDay, ForecastInput, PlannedNight } from './model.ts';
import { idleDays } from './nights-told.ts';

/** The work round a night after that pitch; on the ground there is none. */
export function workAt(
  state: TripState,
  number: number,
  party: Sleepers,
  figures: Settings,
): NightWork {
  if (number === 0) return { eveningMin: 0, morningMin: 0 };
  const pitch = pitchAt(state, number);
  const { bivy: kind = 'none', places } = pitch ?? {};
  const bivy = { kind, ...(places === undefined ? {} : { places }) };
  // On top there is ground to lie on, whatever the topo says of the last stance.
  const ground = number === state.pitches.length ? 'ledge' : undefined;
  return nightWork(bedAt({ bivy }, party) ?? ground, figures);
}

/** Whether a night planned there is behind the party: slept, being slept, or passed by. */
function usedUp(state: TripState, number: number): boolean {
  const above = state.pitches.slice(number).some((p) => p.started ?? p.fixed ?? p.done);
  return above || state.nights.some((night) => night.pitch === number);
}

/**
 * The planned nights still to come. The first night planned ends the first day of climbing, the second
 * the second: a night that was slept, or passed, still counts for its day. A day spent lying at one stance is
 * none of climbing: the nights after it come a day later.
 */
export function plannedNights(
  state: TripState,
  days: readonly ForecastDay[],
  party: Sleepers,
  figures: Settings,
): PlannedNight[] {
  return nightsToCome(state, days).map((night) => ({
    ...night,
    ...workAt(state, night.pitch, party, figures),
  }));
}

/** The same without the work round them: after which pitch, and on the evening of which day. */
export function nightsToCome(
  state: TripState,
  days: readonly ForecastDay[],
): Pick<PlannedNight, 'pitch' | 'day'>[] {
  const before = groundNights(state) + idleDays(state, days);
  return state.bivyPlan
    .map((pitch, i) => ({ pitch, day: before + i }))
    .filter(({ pitch }) => pitch <= state.pitches.length && !usedUp(state, pitch));
}

/**
 * The day on which the plan has everyone down: after its nights; without any, the day that the schedule was set
 * for; else the first. It stays the planned day however the climb goes.
 */
export function downDay(state: TripState, days: readonly ForecastDay[]): number {
  const nights = state.bivyPlan.filter((pitch) => pitch <= state.pitches.length).length;
  if (nights > 0) return groundNights(state) + nights;
  const downMs = state.schedule?.trailheadMs;
  if (downMs === undefined) return groundNights(state);
  return Math.max(
    0,
    days.findLastIndex((day) => day.startMs <= downMs),
  );
}

/** Nights on the ground after departing and before anything was climbed: no day of climbing came before them. */
export function groundNights({ departedAtMs, pitches, nights }: TripState): number {
  const begunMs = pitches.flatMap((p) => (p.started ?? p.fixed ?? p.done)?.atMs ?? []);
  if (departedAtMs === undefined || begunMs.length > 0) return 0;
  return nights.filter((n) => n.pitch === 0 && n.sinceMs >= departedAtMs).length;
}

/**
 * When the way down was begun, where that is known to be later than the first on top: after a night there, or
 * when a rope behind is up as well.
 */
export function descentFrom(state: TripState): Pick<ForecastInput, 'descentFromMs'> {
  const night = state.nights.at(-1);
  const top = state.pitches.length;
  const left = night?.pitch === top && night.leftMs !== undefined ? [night.leftMs] : [];
  const behind = ropeMarks(state).flatMap((mark) => (mark.pitch === top ? [mark.atMs] : []));
  const all = [...left, ...behind];
  return all.length === 0 ? {} : { descentFromMs: Math.max(...all) };
}
