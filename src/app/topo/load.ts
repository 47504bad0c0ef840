import { LIMITS } from '../../limits.ts';
import type { PitchData } from '../../trip/topo.ts';
import type { App } from '../app.ts';
import { change } from '../change.ts';
import type { Call, FileArg } from '../command.ts';
import type { Reply } from '../reply.ts';
import { look } from '../trips.ts';
import { undoButton } from '../words/post.ts';
import { routeWords } from '../words/trip.ts';
import { readTopo } from './csv.ts';

/** Loads the topo from a file, in place of the one before. Pitches told already stay told. */
export async function loadTopo(app: App, call: Call, file: FileArg): Promise<Reply> {
  const { state } = await look(app, call, 'act');
  const pitches = readTopo(await file.bytes(LIMITS.topoBytes), state.units);
  return change(app, call, {
    decide: () => [
      { kind: 'topo.loaded', data: { pitches, from: file.name.slice(0, LIMITS.nameLength) } },
    ],
    answer: ({ after, events }) => ({
      lines: [`Topo loaded: ${routeWords(after)}`, bivyWords(pitches)],
      buttons: [undoButton(events[0]?.seq ?? 0)],
    }),
  });
}

function bivyWords(pitches: readonly PitchData[]): string {
  const hanging = pitches.filter((p) => p.stance === 'hanging').length;
  const nights = pitches.flatMap((p) => (p.bivy === 'none' ? [] : [p.number]));
  const where =
    nights.length === 0 ? 'no place for a night' : `a night is possible after ${nights.join(', ')}`;
  return `${hanging} hanging stances; ${where}.`;
}
