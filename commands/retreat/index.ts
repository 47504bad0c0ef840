import type { Command } from '../../src/app/command.ts';
import { begin } from './begin.ts';
import { rappel } from './rappel.ts';
import { stop } from './stop.ts';

export default {
  name: 'retreat',
  description: 'Down from the wall without the top: begun, each rappel, and climbing on after all',
  subs: { begin, rappel, stop },
} satisfies Command;
