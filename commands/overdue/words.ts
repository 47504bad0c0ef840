import { FIELD } from '../../src/alarm/who.ts';
import { nameOf, type TripState } from '../../src/trip/state.ts';

/** Who is told: a contact by name, or the channel for the party and the ground crew. */
export function toldName(state: TripState, group: string): string {
  return group === FIELD ? 'the channel' : nameOf(state, group);
}
