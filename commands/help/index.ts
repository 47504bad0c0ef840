import { type Command, sub } from '../../src/app/command.ts';
import { help } from './help.ts';

export default {
  name: 'help',
  description: 'What to do next, from where the trip stands',
  bare: sub({
    description: 'What to do next, from where the trip stands',
    access: 'anyone',
    private: true,
    options: {
      about: {
        type: 'string',
        description: 'A command to explain',
        maxLength: 40,
        suggest: async (_call, typed, app) =>
          app.commands
            .filter((c) => c.name.startsWith(typed.replace(/^\//, '').toLowerCase()))
            .slice(0, 25)
            .map((c) => ({ name: c.name, value: c.name })),
      },
    },
    run: (call, args, app) => help(app, call, args.about),
  }),
} satisfies Command;
