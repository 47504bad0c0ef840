import type { Command } from '../../src/app/command.ts';
import { board } from './board.ts';

export default {
  name: 'board',
  description: board.description,
  bare: board,
} satisfies Command;
