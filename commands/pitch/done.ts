import { sub } from '../../src/app/command.ts';
import { postMark } from './mark.ts';
import { markOptions as options } from './options.ts';

declare module '../../src/say/press.ts' {
  interface Paths {
    'pitch done': typeof options;
  }
}

export const done = sub({
  description: 'Everybody is up and the pitch is clean',
  access: 'post',
  options,
  run: (call, args, app) => postMark(app, call, 'done', args),
});
