import type { Table } from '../../say/reply.ts';
import { clock } from '../../time/format.ts';
import { leads } from '../../trip/rotation.ts';
import { linkEndsAt, nameOf, type PitchState, type TripState } from '../../trip/state.ts';
import { gradeText, STANCE_WORDS, type TopoPitch } from '../../trip/topo.ts';
import { lengthText } from '../../trip/units.ts';

const RAPPEL = {
  true: 'rappel',
  false: 'no rappel',
  undefined: 'rappel not known',
  traverse: 'traverse, no way back by rope',
  roof: 'roof, no way back by rope',
};

/** `38 m, 6b, hanging stance, rappel` and what else is known. */
export function pitchFacts(state: TripState, pitch: TopoPitch): string {
  const places = pitch.places === undefined ? '' : ` for ${pitch.places}`;
  return [
    lengthText(pitch.lengthM, state.units),
    gradeText(pitch),
    STANCE_WORDS[pitch.stance],
    pitch.bivy === 'none' ? undefined : `${pitch.bivy} bivy${places}`,
    RAPPEL[String(pitch.rappel) as keyof typeof RAPPEL],
    pitch.expectedMin === undefined ? undefined : `${pitch.expectedMin} min expected`,
    pitch.note,
  ]
    .filter(Boolean)
    .join(', ');
}

/** The topo as a table that fits a phone: number, length, grade, stance and night, leader, done. */
export function topoTable(state: TripState): Table {
  const all = leads(state);
  return {
    head: ['', state.units, 'grade', 'stance', 'leads', 'done'],
    align: ['right', 'right', 'left', 'left', 'left', 'left'],
    rows: state.pitches.map((pitch, i) => [
      `${pitch.number}${linkEndsAt(state, pitch.number) ? '+' : ''}`,
      lengthText(pitch.lengthM, state.units).replace(/ .*/, ''),
      gradeText(pitch),
      stanceCell(pitch),
      all[i]?.leader === undefined ? '-' : nameOf(state, all[i].leader),
      doneCell(state, pitch),
    ]),
  };
}

/** When it was done; without a time when nobody knows it. */
function doneCell({ zone }: TripState, { done }: PitchState): string {
  if (done === undefined) return '';
  return done.timeUnknown === true ? 'yes' : clock(zone, done.atMs);
}

function stanceCell(pitch: PitchState): string {
  const night =
    pitch.bivy === 'none'
      ? ''
      : pitch.bivy === 'ledge'
        ? `, bivy ${pitch.places ?? ''}`
        : ', p.ledge';
  const isShut = pitch.rappel !== undefined && pitch.rappel !== true;
  return `${pitch.stance}${night}${isShut ? ', no rap' : ''}`.trimEnd();
}
