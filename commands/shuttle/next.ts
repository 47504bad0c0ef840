import { type Options, sub } from '../../src/app/command.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { departureLines } from './words.ts';

const options = {} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'shuttle next': typeof options;
  }
}

export const next = sub({
  description: 'The next ones, the one you will make, and the odds for the last',
  access: 'look',
  counts: ['forecast'],
  options,
  async run(call, _args, app) {
    const { state } = await look(app, call);
    if (state.shuttle === undefined) {
      throw new Refusal('no-timetable', [
        'There is no timetable yet.',
        ['Like ', { code: '/shuttle add times:"first 06:20, last 18:40, every 20 min"' }],
      ]);
    }
    return { lines: await departureLines(app, state, call.atMs) };
  },
});
