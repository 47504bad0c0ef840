import type { TripState } from '../state.ts';
import { clashes } from './clashes.ts';
import { assignmentsFit, bounds, leadersAreClimbers, linksFit } from './leading.ts';
import type { No } from './no.ts';
import { breaksHold, phasesHold } from './phases.ts';
import { inSequence } from './pitches.ts';
import { afterDown, retreatsHold } from './retreats.ts';
import { betweenPitches, insidePitch } from './times.ts';

type Rule = (state: TripState) => Iterable<No>;

/** All rules. The first one broken is told, so the most helpful come first. */
const RULES: readonly Rule[] = [
  clashes,
  inSequence,
  insidePitch,
  betweenPitches,
  phasesHold,
  breaksHold,
  retreatsHold,
  afterDown,
  leadersAreClimbers,
  assignmentsFit,
  linksFit,
  bounds,
];

/** The first rule that a state breaks; undefined for a state that may be. */
export function firstNo(state: TripState): No | undefined {
  for (const rule of RULES) for (const found of rule(state)) return found;
  return undefined;
}
