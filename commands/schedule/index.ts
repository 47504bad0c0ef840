import type { Command } from '../../src/app/command.ts';
import { set } from './set.ts';
import { show } from './show.ts';

export default {
  name: 'schedule',
  description: 'The checkpoint schedule: planned, latest, actual',
  subs: { set, show },
} satisfies Command;
