import type { Night } from '../trip/kinds/night.ts';
import { modeOf, waitSpans } from '../trip/mode.ts';
import type { TripState } from '../trip/state.ts';
import { rainUntil } from '../trip/weather.ts';
import { holdOf } from '../trip/wet-rock-hold.ts';
import type { NightWork } from './beds.ts';
import type { ForecastDay, ForecastInput, Span } from './model.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
/** Rest taken for granted where no day's start tells when it ends. Engineering choice. */
const REST_MS = 8 * HOUR_MS;

/**
 * The night the party is in: since when, and when it makes its first move. A time told is when it means to get
 * up; the morning work comes after that. Without one it is the next planned start.
 */
export function settledNight(
  state: TripState,
  days: readonly ForecastDay[],
  nowMs: number,
  workAt: (pitch: number) => NightWork,
): ForecastInput['settled'] {
  const night = state.nights.at(-1);
  if (night === undefined || night.leftMs !== undefined) return undefined;
  const morning = days.find((d) => d.startMs > night.sinceMs)?.startMs ?? night.sinceMs + REST_MS;
  const { morningMin } = workAt(night.pitch);
  const move = night.untilMs === undefined ? morning : night.untilMs + morningMin * MINUTE_MS;
  return { sinceMs: restedFrom(state, night), untilMs: Math.max(move, nowMs) };
}

/**
 * Since when nobody climbed: since they reached the stance where they lay down, unless the next pitch is told to have
 * been begun before that. Who fixed the line above and slept below had come back, and follows it in the morning.
 */
function restedFrom({ pitches }: TripState, { pitch, sinceMs }: Night): number {
  const { started, fixed, done } = pitches[pitch] ?? {};
  const isBack = fixed !== undefined && (done === undefined || done.atMs > sinceMs);
  if (isBack) return Math.min(fixed.atMs, sinceMs);
  const reached = pitches[pitch - 1]?.done;
  const isBegun = (started?.atMs ?? sinceMs) < sinceMs;
  if (isBegun || reached === undefined || reached.timeUnknown === true) return sinceMs;
  return Math.min(reached.atMs, sinceMs);
}

/**
 * Until when nobody climbs: a wait as it was told or the hold, whichever ends later. While it rains the end
 * isn't known: the hold is taken from the end that the weather was told to have, or from now, the best that can be hoped for.
 */
export function holdUntil(state: TripState, nowMs: number): number | undefined {
  const meant = modeOf(state, nowMs);
  const waitMs = meant.is === 'waiting' ? meant.untilMs : undefined;
  const hold = holdOf(state, nowMs);
  const dryMs =
    hold.state === 'holding'
      ? hold.untilMs
      : hold.state === 'raining'
        ? (rainUntil(state, nowMs) ?? nowMs) + state.settings.wetHours * HOUR_MS
        : undefined;
  return waitMs === undefined || dryMs === undefined ? (waitMs ?? dryMs) : Math.max(waitMs, dryMs);
}

/** Nights told, waits, retreats, rain and wet-rock holds: spans nobody climbed in. */
export function toldPauses(state: TripState, nowMs: number): Span[] {
  const nights = state.nights.flatMap((n) =>
    n.leftMs === undefined ? [] : [{ fromMs: restedFrom(state, n), toMs: n.leftMs }],
  );
  return [
    ...nights,
    ...waitSpans(state, nowMs),
    ...retreatSpans(state, nowMs),
    ...wetPauses(state, nowMs),
  ]
    .filter((s) => s.toMs > s.fromMs)
    .sort((a, b) => a.fromMs - b.fromMs);
}

function retreatSpans(state: TripState, nowMs: number): Span[] {
  return state.retreats.map((r) => ({ fromMs: r.sinceMs, toMs: r.stoppedMs ?? nowMs }));
}

/** Rain and the hold after it; not for a party that holds none, nor where it was told to have climbed on. */
function wetPauses(state: TripState, nowMs: number): Span[] {
  const { wetHours } = state.settings;
  if (wetHours === 0) return [];
  const told = state.pitches.flatMap((p) => [p.started?.atMs, p.fixed?.atMs, p.done?.atMs]);
  const climbed = (s: Span) => told.some((ms) => ms !== undefined && ms > s.fromMs && ms < s.toMs);
  return state.rains
    .flatMap(({ fromMs, toMs }): Span[] => {
      if (toMs === undefined) return [{ fromMs, toMs: nowMs }];
      const dryMs = Math.min(toMs + wetHours * HOUR_MS, nowMs);
      return [
        { fromMs, toMs },
        { fromMs: toMs, toMs: dryMs },
      ];
    })
    .filter((span) => !climbed(span));
}
