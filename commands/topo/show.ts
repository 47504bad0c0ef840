import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { topoTable } from '../../src/app/words/topo.ts';
import { routeWords } from '../../src/app/words/trip.ts';
import { look } from '../../src/record/trips.ts';
import type { Reply } from '../../src/say/reply.ts';

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
