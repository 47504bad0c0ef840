import { sub } from '../../src/app/command.ts';
import { nextLines } from '../../src/app/words/lead.ts';
import { look } from '../../src/record/trips.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'lead next': typeof options;
  }
}

export const next = sub({
  description: 'Who leads next, which pitch, and why',
  access: 'look',
  options,
  run: async (call, _args, app) => ({ lines: nextLines((await look(app, call)).state) }),
});
