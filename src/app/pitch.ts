import { Refusal } from '../say/refusal.ts';
import type { TripState } from '../trip/state.ts';

/** A pitch by a number that the topo hasn't got. */
export function noSuchPitch(state: TripState, number: number): Refusal {
  return new Refusal(
    'no-such-pitch',
    `There is no pitch ${number}; the topo has ${state.pitches.length}.`,
  );
}
