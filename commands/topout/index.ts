import type { Command } from '../../src/app/command.ts';
import { topout } from './topout.ts';

export default {
  name: 'topout',
  description: topout.description,
  bare: topout,
} satisfies Command;
