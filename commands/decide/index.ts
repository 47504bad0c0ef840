import type { Command } from '../../src/app/command.ts';
import { decide } from './decide.ts';

export default {
  name: 'decide',
  description: decide.description,
  bare: decide,
} satisfies Command;
