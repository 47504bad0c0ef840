import { type Command, sub } from '../../src/app/command.ts';
import { topout } from './topout.ts';

export default {
  name: 'topout',
  description: 'When the party will be on top, and the odds for everything that binds',
  bare: sub({
    description: 'When the party will be on top, and the odds for everything that binds',
    access: 'look',
    options: {
      details: { type: 'boolean', description: 'With the pace learnt and where figures come from' },
    },
    run: (call, args, app) => topout(app, call, args.details === true),
  }),
} satisfies Command;
