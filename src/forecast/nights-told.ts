import type { Night } from '../trip/kinds/night.ts';
import type { TripState } from '../trip/state.ts';
import type { ForecastDay } from './model.ts';
import { heardAtMs } from './silence.ts';
import { begun } from './trip-days.ts';

/** The night at the end of a day, as it was told; a rest from which they climbed on that day is none. */
export function nightAt(
  state: TripState,
  days: readonly ForecastDay[],
  d: number,
): Night | undefined {
  const startMs = d === 0 ? Number.NEGATIVE_INFINITY : (days[d]?.startMs ?? 0);
  const endMs = days[d + 1]?.startMs ?? Number.POSITIVE_INFINITY;
  const stopMs = days[d]?.stopMs ?? endMs;
  const heardMs = heardAtMs(state) ?? 0;
  return state.nights.findLast((night) => {
    if (night.sinceMs >= endMs) return false;
    const leftMs = leftAt(state, night);
    const isOpen = leftMs === undefined && night.sinceMs >= startMs;
    // Not told is not the same as not done: while nothing is heard they may have left.
    return isOpen || (leftMs ?? heardMs) > stopMs;
  });
}

/** When a night ended: told, or by the next pitch done; undefined while they lie. */
function leftAt(state: TripState, { sinceMs, leftMs }: Night): number | undefined {
  if (leftMs !== undefined) return leftMs;
  const after = state.pitches.flatMap((p) => p.done?.atMs ?? []).filter((ms) => ms > sinceMs);
  return after.length === 0 ? undefined : Math.min(...after);
}

/** Days of the climb that were spent at one stance: they lay there the evening before and the evening after. */
export function idleDays(state: TripState, days: readonly ForecastDay[]): number {
  if (!begun(state) || state.nights.length === 0) return 0;
  const at = days.map((_, d) => nightAt(state, days, d)?.pitch);
  return at.filter((pitch, d) => d > 0 && pitch !== undefined && pitch === at[d - 1]).length;
}
