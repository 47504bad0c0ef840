import { asLed } from '../trip/rotation.ts';
import type { PitchState, TripState } from '../trip/state.ts';
import { ledIn, modeOf, type Style } from '../trip/topo.ts';
import type { ClimbedAs } from './lead-times.ts';

/** Grade minus the leader's ceiling; for aid in aid grades. */
export function gapOf(
  state: TripState,
  pitch: PitchState,
  leader: string | undefined,
): { gapSteps?: number } {
  const { gapSteps } = wayOf(state, pitch, leader);
  return gapSteps === undefined ? {} : { gapSteps };
}

/**
 * How a leader climbs a pitch: the mode, the aid grade, and how far the grade is from their ceiling.
 *
 * @param style where there is a choice; as it would be led when left out
 */
export function wayOf(
  state: TripState,
  pitch: PitchState,
  leader: string | undefined,
  style?: Style,
): ClimbedAs & { gapSteps?: number } {
  const led = style === undefined ? asLed(state, pitch, leader) : ledIn(pitch, style);
  const person = state.people.find((p) => p.id === leader);
  const mode = modeOf(led);
  const grade = mode === 'aid' ? led.aid?.rank : led.free?.rank;
  const ceiling = mode === 'aid' ? person?.aid?.rank : person?.free?.rank;
  return {
    mode,
    ...(led.aid === undefined ? {} : { aidGrade: led.aid.rank }),
    ...(grade === undefined || ceiling === undefined ? {} : { gapSteps: grade - ceiling }),
  };
}
