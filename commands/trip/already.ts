import type { Call } from '../../src/app/command.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';
import type { TripState } from '../../src/trip/state.ts';

/** Told before: when that was, and how to mend it. */
export function already(atMs: number, words: string, state: TripState, call: Call): Refusal {
  return new Refusal('phase-twice', [
    `${words} at ${dayClock(state.zone, atMs, call.atMs)} already; nothing to change.`,
    'If that time is wrong, /log show gives its number for /pitch amend.',
  ]);
}
