import { ceilingWords } from '../../src/app/words/lead.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line } from '../../src/say/reply.ts';
import { leads, styleOf } from '../../src/trip/rotation.ts';
import { linkEndsAt, nameOf, pitchAt, type TripState } from '../../src/trip/state.ts';
import { thenLines } from './words.ts';

/** Only a pitch to come can be given away; what was led is mended by amending the post. */
export function mustBeOpen(state: TripState, number: number): void {
  const pitch = pitchAt(state, number);
  if (pitch === undefined) {
    throw new Refusal(
      'no-such-pitch',
      `There is no pitch ${number}; the topo has ${state.pitches.length}.`,
    );
  }
  const told = pitch.done ?? pitch.started ?? pitch.fixed;
  if (told !== undefined) {
    throw new Refusal('already-told', [
      `Pitch ${number} was ${pitch.done !== undefined ? 'done' : pitch.started !== undefined ? 'started' : 'fixed'} already.`,
      ['If another climber led it: ', { code: `/pitch amend entry:${told.seq} leader:` }],
    ]);
  }
  if (linkEndsAt(state, number)) {
    throw new Refusal('link-overlaps', [
      `Pitch ${number} is linked with ${number - 1} and goes with it.`,
      `Assign ${number - 1}, or /lead unlink pitch:${number - 1} first.`,
    ]);
  }
}

/** What became of the pitches that changed hands, and how the leads go on. */
export function reassignedLines(
  before: TripState,
  after: TripState,
  numbers: readonly number[],
): Line[] {
  return [
    ...numbers.map((number) => moved(before, after, number)),
    ...numbers.flatMap((number) => warning(after, number)),
    ...thenLines(after),
  ];
}

/** `Pitch 6: Ines leads (was Jonas).` */
function moved(before: TripState, after: TripState, number: number): string {
  const was = leads(before)[number - 1]?.leader;
  const is = leads(after)[number - 1]?.leader;
  const name = is === undefined ? 'nobody' : nameOf(after, is);
  const same = was === undefined || was === is ? '' : ` (was ${nameOf(before, was)})`;
  const pitch = pitchAt(after, number);
  const style =
    pitch?.either !== true ? '' : styleOf(after, pitch, is) === 'aid' ? ' on aid' : ' free';
  return `Pitch ${number}: ${name} leads${style}${same}.`;
}

function warning(state: TripState, number: number): string[] {
  const lead = leads(state)[number - 1];
  const pitch = pitchAt(state, number);
  if (!lead?.aboveCeiling || pitch === undefined) return [];
  const words = ceilingWords(state, lead, pitch);
  return words === undefined ? [] : [words];
}
