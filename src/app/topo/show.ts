import type { App } from '../app.ts';
import type { Call } from '../command.ts';
import type { Reply } from '../reply.ts';
import { look } from '../trips.ts';
import { topoTable } from '../words/topo.ts';
import { routeWords } from '../words/trip.ts';

export async function showTopo(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  if (state.pitches.length === 0) {
    return {
      lines: [
        'No topo yet.',
        '/topo load takes a CSV file; /topo edit number:1 length:38 one pitch.',
      ],
    };
  }
  const notes = state.pitches.flatMap((p) =>
    p.note === undefined ? [] : [`${p.number}: ${p.note}`],
  );
  return { lines: [`${state.name}: ${routeWords(state)}`], table: topoTable(state), after: notes };
}
