import { sub } from '../../src/app/command.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { routeWords } from '../../src/app/words/trip.ts';
import { LIMITS } from '../../src/limits.ts';
import { change, refusalOf } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { No } from '../../src/trip/rules/no.ts';
import { list } from '../../src/trip/rules/pitches.ts';
import { pitchAt, type TripState } from '../../src/trip/state.ts';
import type { PitchData } from '../../src/trip/topo.ts';

const options = {
  file: {
    type: 'file',
    required: true,
    description: 'Columns: pitch, length_m or length_ft, free, aid, stance, bivy, places, rappel',
  },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'topo load': typeof options;
  }
}

/** Loads the topo from a file, in place of the one before. Pitches told already stay told. */
export const load = sub({
  description: 'Load all pitches from a CSV file',
  access: 'post',
  counts: ['file', 'files'],
  options,
  async run(call, { file }, app) {
    const { state } = await look(app, call, 'act');
    const pitches = await app.reading.readTopo(await file.bytes(LIMITS.topoBytes), state.units);
    return change(app, call, {
      decide: () => [
        { kind: 'topo.loaded', data: { pitches, from: file.name.slice(0, LIMITS.nameLength) } },
      ],
      refuse: (found, { state }) => refuse(found, state, pitches.length),
      answer: ({ after, events }) => ({
        lines: [`Topo loaded: ${routeWords(after)}`, bivyWords(pitches)],
        buttons: [undoButton(events[0]?.seq ?? 0)],
      }),
    });
  },
});

/** What was told, set or linked of the old pitches must still fit. */
function refuse(found: No, state: TripState, count: number): Refusal {
  if (found.rule !== 'no-such-pitch' || found.pitch === undefined || found.pitch <= count) {
    return refusalOf(found);
  }
  const told = pitchAt(state, found.pitch)?.started ?? pitchAt(state, found.pitch)?.done;
  if (told === undefined) return refusalOf(found);
  return new Refusal(found.rule, [
    `That topo has ${count} pitches, but pitch ${found.pitch} was told already; nothing was changed.`,
    `If that post is wrong: /pitch strike entry:${told.seq}. Otherwise add the missing rows.`,
  ]);
}

function bivyWords(pitches: readonly PitchData[]): string {
  const hanging = pitches.filter((p) => p.stance === 'hanging').length;
  const nights = pitches.flatMap((p) => (p.bivy === 'none' ? [] : [p.number]));
  const where =
    nights.length === 0
      ? 'no place for a night'
      : `a night is possible after ${nights.length === 1 ? 'pitch' : 'pitches'} ${list(nights)}`;
  return `${hanging} hanging ${hanging === 1 ? 'stance' : 'stances'}; ${where}.`;
}
