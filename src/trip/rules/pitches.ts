import type { PitchState, TripState } from '../state.ts';
import type { No } from './no.ts';

/** A pitch is done only when all below are; started or fixed only when the one below is at least fixed. */
export function* inSequence(state: TripState): Generator<No> {
  const top = state.pitches.findLast((p) => p.started ?? p.fixed ?? p.done);
  if (top === undefined) return;
  const doneTop = state.pitches.findLast((p) => p.done)?.number ?? 0;
  const missing = below(state, doneTop, (p) => p.done !== undefined);
  if (missing.length > 0) yield notDone(doneTop, missing);
  const unreached = below(state, top.number, (p) => (p.done ?? p.fixed) !== undefined);
  if (unreached.length > 0) {
    const mark = top.fixed === undefined ? 'started' : 'fixed';
    yield {
      rule: 'previous-not-reached',
      text: `${subject(unreached)} fixed or done yet, so ${top.number} can't be ${mark}.`,
      ways: [`/pitch done number:${unreached[0]} first, with at: for when it was.`],
      pitch: top.number,
      missing: unreached,
      mark,
    };
  }
}

function below(state: TripState, number: number, met: (p: PitchState) => boolean): number[] {
  return state.pitches.flatMap((p) => (p.number < number && !met(p) ? [p.number] : []));
}

function notDone(pitch: number, missing: readonly number[]): No {
  return {
    rule: 'previous-not-done',
    text: `${subject(missing)} done yet, so ${pitch} can't be.`,
    ways: [`/pitch done number:${missing[0]} first, with at: for when it was.`],
    pitch,
    missing,
    mark: 'done',
  };
}

/** `6`, `5 and 6`, `4–6`. */
export function list(numbers: readonly number[]): string {
  const [first, last] = [numbers[0], numbers.at(-1)];
  if (numbers.length <= 1) return String(first ?? '');
  if (numbers.length === 2) return `${first} and ${last}`;
  return (last as number) - (first as number) === numbers.length - 1
    ? `${first}–${last}`
    : `${numbers.slice(0, -1).join(', ')} and ${last}`;
}

/** `Pitch 6 isn't`, `Pitches 5 and 6 aren't`. */
function subject(numbers: readonly number[]): string {
  return numbers.length === 1 ? `Pitch ${list(numbers)} isn't` : `Pitches ${list(numbers)} aren't`;
}
