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
  const hold = wetRockHold(state.rains, state.settings.wetHours, nowMs);
  if (hold.state === 'none') return hold;
  const sinceMs = hold.state === 'raining' ? hold.sinceMs : hold.rainEndedMs;
  return dryAt(state, sinceMs, nowMs) === undefined ? hold : { state: 'none' };
}

/** Who said between the two that the rock is dry, the newest word; undefined when nobody did. */
export function dryAt(
  { saidDry }: TripState,
  fromMs: number,
  nowMs: number,
): TripState['saidDry'][number] | undefined {
  return saidDry.findLast((d) => d.atMs >= fromMs && d.atMs <= nowMs);
}
