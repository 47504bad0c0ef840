import { sub } from '../../src/app/command.ts';
import { postMark } from './mark.ts';
import { markOptions as options } from './options.ts';

declare module '../../src/say/press.ts' {
  interface Paths {
    'pitch start': typeof options;
  }
}

export const start = sub({
  description: 'The leader has started up',
  access: 'post',
  options,
  run: (call, args, app) => postMark(app, call, 'started', args),
});
