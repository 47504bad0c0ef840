import { sub } from '../../src/app/command.ts';
import { postMark } from './mark.ts';
import { markOptions as options } from './options.ts';

declare module '../../src/say/press.ts' {
  interface Paths {
    'pitch fixed': typeof options;
  }
}

export const fixed = sub({
  description: 'The leader is at the anchor and the line is fixed',
  access: 'post',
  options,
  run: (call, args, app) => postMark(app, call, 'fixed', args),
});
