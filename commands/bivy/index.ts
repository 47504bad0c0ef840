import { type Command, sub } from '../../src/app/command.ts';
import { pitchOption, toldAtOption } from '../../src/app/options.ts';
import { leaveBivy, planNight, settle } from './nights.ts';

const pitch = pitchOption('After which pitch');

export default {
  name: 'bivy',
  description: 'Nights on the wall',
  subs: {
    plan: sub({
      description: 'Mean to sleep after a pitch',
      access: 'act',
      options: {
        pitch: { ...pitch, required: true },
        drop: { type: 'boolean', description: 'Yes to mean it no longer' },
      },
      run: (call, args, app) => planNight(app, call, args.pitch, args.drop === true),
    }),
    settle: sub({
      description: 'Settled for the night',
      access: 'act',
      options: {
        at: toldAtOption,
        until: { type: 'string', description: 'Until when you mean to rest: 05:30', maxLength: 40 },
        pitch: { ...pitch, description: 'After which pitch; the last one done when left out' },
      },
      run: (call, args, app) => settle(app, call, args),
    }),
    leave: sub({
      description: 'The night is over; climbing on',
      access: 'act',
      options: { at: toldAtOption },
      run: (call, args, app) => leaveBivy(app, call, args.at),
    }),
  },
} satisfies Command;
