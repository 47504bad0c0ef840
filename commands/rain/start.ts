import { sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { tellRain } from './tell.ts';

const options = { at: toldAtOption } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'rain start': typeof options;
  }
}

export const start = sub({
  description: 'It has begun to rain',
  access: 'post',
  options,
  run: (call, { at }, app) => tellRain(app, call, 'rain.started', at),
});
