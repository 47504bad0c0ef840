import { sub } from '../../src/app/command.ts';
import { postMark } from './mark.ts';
import { markOptions } from './options.ts';
import { postBehind } from './rope-behind.ts';

const options = {
  ...markOptions,
  rope: {
    type: 'integer',
    description: 'Which rope, of two: 2 is the one behind; the first when left out',
    min: 1,
    max: 4,
  },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'pitch done': typeof options;
  }
}

export const done = sub({
  description: 'Everybody is up and the pitch is clean',
  access: 'post',
  options,
  run: (call, { rope = 1, ...args }, app) =>
    rope === 1 ? postMark(app, call, 'done', args) : postBehind(app, call, rope, args),
});
