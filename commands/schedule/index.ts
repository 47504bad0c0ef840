import { type Command, sub } from '../../src/app/command.ts';
import { setSchedule, showSchedule } from './schedule.ts';

export default {
  name: 'schedule',
  description: 'The checkpoint schedule: planned, latest, actual',
  subs: {
    set: sub({
      description: 'Freeze the plan as it is forecast now',
      access: 'act',
      options: {},
      run: (call, _args, app) => setSchedule(app, call),
    }),
    show: sub({
      description: 'Ahead or behind, pitch by pitch',
      access: 'look',
      options: {},
      run: (call, _args, app) => showSchedule(app, call),
    }),
  },
} satisfies Command;
