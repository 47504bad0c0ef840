import { sub } from '../../src/app/command.ts';
import { CAUTION } from '../../src/app/words/forecast.ts';
import { look } from '../../src/record/trips.ts';
import { weatherCard } from './card.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'weather show': typeof options;
  }
}

export const show = sub({
  description: 'The weather ahead, where it comes from, and the chance of being caught by rain',
  access: 'look',
  counts: ['forecast'],
  options,
  async run(call, _args, app) {
    const { state } = await look(app, call);
    const { lines, buttons } = await weatherCard(app, state, call.atMs);
    return { lines: [...lines, CAUTION], buttons };
  },
});
