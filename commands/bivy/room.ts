import { partySizeOf } from '../../src/forecast/input.ts';
import { canSleep } from '../../src/forecast/nights.ts';
import type { PitchState, TripState } from '../../src/trip/state.ts';

/** Whether the whole party can sleep after this pitch, by the topo. */
export function hasRoom(state: TripState, { bivy, places }: PitchState): boolean {
  const place = { kind: bivy, ...(places === undefined ? {} : { places }) };
  return canSleep({ bivy: place }, partySizeOf(state));
}

/** `room for 2, and you are 3`: what the topo has instead of room for the party. */
export function roomWords(state: TripState, { bivy, places }: PitchState): string {
  return bivy === 'none'
    ? 'no place to sleep'
    : `room for ${places ?? 1}, and you are ${partySizeOf(state)}`;
}
