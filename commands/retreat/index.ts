import type { Command } from '../../src/app/command.ts';
import { begin } from './begin.ts';
import { compare } from './compare.ts';
import { rappel } from './rappel.ts';
import { stop } from './stop.ts';

export default {
  name: 'retreat',
  description: 'Down without the top: the way, begun, each rappel, and climbing on after all',
  subs: { compare, begin, rappel, stop },
} satisfies Command;
