import { canSleep } from '../../src/forecast/beds.ts';
import { partySizeOf, sleepersOf } from '../../src/forecast/input.ts';
import type { PitchState, TripState } from '../../src/trip/state.ts';

/** Whether the whole party can sleep after this pitch, by the topo and by what it carries. */
export function hasRoom(state: TripState, { bivy, places }: PitchState): boolean {
  const place = { kind: bivy, ...(places === undefined ? {} : { places }) };
  return canSleep({ bivy: place }, sleepersOf(state));
}

/** `room for 2, and you are 3`: what the topo has instead of room for the party. */
export function roomWords(state: TripState, { bivy, places }: PitchState): string {
  if (bivy === 'none') return 'no place to sleep';
  const { portaledgePlaces } = state.settings;
  if (bivy === 'portaledge') {
    return portaledgePlaces === 0
      ? 'only a place for a portaledge, and you carry none'
      : `a place for a portaledge, yours has room for ${portaledgePlaces}, and you are ${partySizeOf(state)}`;
  }
  return `room for ${places ?? 1}, and you are ${partySizeOf(state)}`;
}
