import { FIELD } from '../../src/alarm/who.ts';
import { ENGLISH, type Words } from '../../src/say/contact/words.ts';
import { nameOf, type TripState } from '../../src/trip/state.ts';

/** Who is told: a contact by name, or the channel for the party and the ground crew. */
export function toldName(state: TripState, group: string, w: Words = ENGLISH): string {
  return group === FIELD ? w.text('who.channel') : nameOf(state, group);
}
