import type { ClockTime } from './read.ts';
import { type Gap, gapEdges, instantsOf, type LocalDay } from './zone.ts';

/** A wall time on one day, with the instants it has there: none in a gap, two when it comes twice. */
export interface Spot {
  day: LocalDay;
  time: ClockTime;
  instants: number[];
  gap?: Gap;
}

/** Places a clock time on a day: in `zone`, or by the offset typed with it, which knows no gaps. */
export function spotOf(zone: string, day: LocalDay, time: ClockTime): Spot {
  const wall = { ...day, hour: time.hour, minute: time.minute };
  if (time.offsetMin !== undefined) {
    const utcMs = Date.UTC(day.year, day.month - 1, day.day, time.hour, time.minute);
    return { day, time, instants: [utcMs + time.secondMs - time.offsetMin * 60_000] };
  }
  const instants = instantsOf(zone, wall).map((ms) => ms + time.secondMs);
  const gap = instants.length === 0 ? gapEdges(zone, wall) : undefined;
  return { day, time, instants, ...(gap ? { gap } : {}) };
}

/** Where a spot stands on the line of time: its instants, or the clock change that swallowed it. */
function standsAt(spot: Spot): number[] {
  return spot.gap ? [spot.gap.changeMs] : spot.instants;
}

/** The spot nearest to now; of two equally near the earlier. A spot in a gap counts like any other. */
export function nearestSpot(spots: readonly Spot[], nowMs: number): Spot {
  const distance = (spot: Spot) => Math.min(...standsAt(spot).map((ms) => Math.abs(ms - nowMs)));
  return spots.reduce((best, spot) => (distance(spot) < distance(best) ? spot : best));
}

/** The first spot, of several in order of time, that isn't over yet; the last one when all are. */
export function nextSpot(spots: readonly Spot[], nowMs: number): Spot {
  const next = spots.find((spot) => standsAt(spot).some((ms) => ms >= nowMs));
  return next ?? spots[spots.length - 1]!;
}
