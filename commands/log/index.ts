import { type Command, sub } from '../../src/app/command.ts';
import { exportLog } from './export.ts';
import { showLog } from './show.ts';

export default {
  name: 'log',
  description: 'The record of everything that was told',
  subs: {
    show: sub({
      description: 'The record, ten entries a page, newest page first',
      access: 'look',
      private: true,
      options: {
        page: {
          type: 'integer',
          description: 'Which page; 1 is the newest',
          min: 1,
          max: 1000,
        },
      },
      run: (call, args, app) => showLog(app, call, args.page),
    }),
    export: sub({
      description: 'The whole record as files that can be read back',
      access: 'act',
      private: true,
      options: {},
      run: (call, _args, app) => exportLog(app, call),
    }),
  },
} satisfies Command;
