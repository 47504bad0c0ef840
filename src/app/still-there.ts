import { pitchesDone } from '../forecast/plan-days.ts';
import { Refusal } from '../say/refusal.ts';
import type { TripState } from '../trip/state.ts';

/** The stance that a button was put for, after that pitch. */
export const hereOption = {
  type: 'integer',
  description: 'Asked at the stance after it',
  min: 0,
  hidden: true,
} as const;

/**
 * A button speaks of one stance: once they have left it, it does nothing.
 *
 * @param here undefined: typed, not pressed
 * @throws Refusal then
 */
export function mustStillBeAt(state: TripState, here: number | undefined): void {
  if (here === undefined) return;
  const done = pitchesDone(state);
  if (here === done) return;
  throw new Refusal('button-over', [
    `They are at pitch ${done} by now.`,
    'Nothing is changed. How the plan stands: /plan',
  ]);
}
