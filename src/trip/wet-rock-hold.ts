import type { SaidDry } from './kinds/rain.ts';
import type { TripState } from './state.ts';

const HOUR_MS = 3_600_000;

/** Waits in use, hours from the end of rain; the trip may set another one up to a week. */
export const HOLD_CHOICES_H = [24, 48, 72] as const;
const MAX_HOLD_H = 168;

/** Rain on the rock; without an end while it is still raining. */
export interface Rain {
  fromMs: number;
  toMs?: number;
}

/** The state of the wet-rock hold; times are epoch milliseconds. */
export type Hold =
  /** No rain that still counts. */
  | { state: 'none' }
  /** It rains: the hold has no end yet, or one that moves with the rain. */
  | { state: 'raining'; sinceMs: number }
  /** Dry since `rainEndedMs`, and no climbing before `untilMs`. */
  | { state: 'holding'; rainEndedMs: number; untilMs: number };

/**
 * The wet-rock hold at an instant: so many hours from the end of the last rain, not from its start,
 * because the rock takes up water as long as it rains. Rain that begins after `nowMs` is left out.
 *
 * @param holdH hours from the end of rain, 0 (no hold) to 168
 * @throws RangeError for hours outside that, or rain that ends before it begins
 */
export function wetRockHold(rains: readonly Rain[], holdH: number, nowMs: number): Hold {
  if (!(holdH >= 0 && holdH <= MAX_HOLD_H)) throw new RangeError(`hold of ${holdH} h`);
  let rainingSinceMs: number | undefined;
  let rainEndedMs: number | undefined;
  for (const { fromMs, toMs } of rains) {
    if (toMs !== undefined && toMs < fromMs) throw new RangeError('rain ends before it begins');
    if (fromMs > nowMs) continue;
    if (toMs === undefined || toMs > nowMs) {
      rainingSinceMs = Math.min(rainingSinceMs ?? fromMs, fromMs);
    } else {
      rainEndedMs = Math.max(rainEndedMs ?? toMs, toMs);
    }
  }
  if (rainingSinceMs !== undefined) return { state: 'raining', sinceMs: rainingSinceMs };
  if (rainEndedMs === undefined) return { state: 'none' };
  const untilMs = rainEndedMs + holdH * HOUR_MS;
  return untilMs > nowMs ? { state: 'holding', rainEndedMs, untilMs } : { state: 'none' };
}

/**
 * The hold that a trip is under at an instant: by its own hours, and lifted from when somebody said
 * that the rock is dry until it rains again.
 */
export function holdOf(state: TripState, nowMs: number): Hold {
  return saidDry(state, nowMs) === undefined
    ? wetRockHold(state.rains, state.settings.wetHours, nowMs)
    : { state: 'none' };
}

/** The word that lifts the hold at an instant; undefined where there is no hold, or no such word. */
export function saidDry(state: TripState, nowMs: number): SaidDry | undefined {
  const hold = wetRockHold(state.rains, state.settings.wetHours, nowMs);
  if (hold.state === 'none') return undefined;
  const sinceMs = hold.state === 'raining' ? hold.sinceMs : hold.rainEndedMs;
  return state.saidDry.findLast((d) => d.atMs >= sinceMs && d.atMs <= nowMs);
}
