import { sub } from '../../src/app/command.ts';
import { topoTable } from '../../src/app/words/topo.ts';
import { routeWords } from '../../src/app/words/trip.ts';
import { look } from '../../src/record/trips.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'topo show': typeof options;
  }
}

export const show = sub({
  description: 'All pitches with who leads them',
  access: 'look',
  options,
  async run(call, _args, app) {
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
    return {
      lines: [`${state.name}: ${routeWords(state)}`],
      table: topoTable(state),
      after: notes,
    };
  },
});
