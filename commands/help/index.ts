import type { Command } from '../../src/app/command.ts';
import { help } from './help.ts';

export default {
  name: 'help',
  description: help.description,
  bare: help,
} satisfies Command;
