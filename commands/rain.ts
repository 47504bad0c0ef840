import { type Command, sub } from '../src/app/command.ts';
import { showRain, tellRain } from '../src/app/forecast/rain.ts';
import { toldAtOption } from '../src/app/options.ts';

export default {
  name: 'rain',
  description: 'Rain, and how long the rock is left alone after it',
  subs: {
    start: sub({
      description: 'It has begun to rain',
      access: 'act',
      options: { at: toldAtOption },
      run: (call, args, app) => tellRain(app, call, 'rain.started', args.at),
    }),
    stop: sub({
      description: 'The rain has ended',
      access: 'act',
      options: { at: toldAtOption },
      run: (call, args, app) => tellRain(app, call, 'rain.stopped', args.at),
    }),
    show: sub({
      description: 'The wet-rock hold, and what others advise',
      access: 'look',
      options: {},
      run: (call, _args, app) => showRain(app, call),
    }),
  },
} satisfies Command;
