import type { Command } from '../../src/app/command.ts';
import { over } from './over.ts';
import { report } from './report.ts';
import { update } from './update.ts';

export default {
  name: 'trouble',
  description: 'Somebody is hurt, missing or stuck: tell it here, and help is told at once',
  subs: { report, update, over },
} satisfies Command;
