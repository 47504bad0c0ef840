import { sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { tellRain } from './tell.ts';

const options = { at: toldAtOption } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'rain stop': typeof options;
  }
}

export const stop = sub({
  description: 'The rain has ended',
  access: 'post',
  options,
  run: (call, { at }, app) => tellRain(app, call, 'rain.stopped', at),
});
