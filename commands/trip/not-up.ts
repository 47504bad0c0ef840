import type { Call } from '../../src/app/command.ts';
import { exactTime } from '../../src/app/when.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import { currentPitch, pitchAt, type TripState } from '../../src/trip/state.ts';

/**
 * Less than half of the topo is done by the log and no retreat was told, so "down" may be a slip.
 * Engineering choice.
 */
export function mostlyUndone({ pitches, retreats }: TripState): boolean {
  return (
    retreats.length === 0 && pitches.filter((p) => p.done !== undefined).length * 2 < pitches.length
  );
}

/** Everyone down ends the watch, so low on the wall it is asked back. */
export function notUp(state: TripState, call: Call, atMs: number): Refusal {
  const at = exactTime(atMs);
  const number = currentPitch(state)?.number ?? 1;
  const done = pitchAt(state, number - 1)?.done;
  const last =
    done === undefined
      ? 'By the log no pitch is done yet.'
      : `By the log pitch ${number - 1} of ${state.pitches.length} is the last done, at ${dayClock(state.zone, done.atMs, call.atMs)}.`;
  const meant: Button = {
    label: `I meant pitch ${number} done`,
    press: { path: 'pitch done', options: { number, at } },
  };
  return new Refusal(
    'hardly-true',
    [
      `${last} Is everyone off the wall and safe?`,
      'Nothing is recorded yet. Everyone down ends the watch: nobody is alerted after it.',
    ],
    [
      { label: 'Yes, everyone is down', press: { path: 'trip down', options: { sure: true, at } } },
      ...(state.departedAtMs === undefined ? [] : [meant]),
    ],
  );
}
