import type { Command } from '../../src/app/command.ts';
import { show } from './show.ts';
import { start } from './start.ts';
import { stop } from './stop.ts';

export default {
  name: 'rain',
  description: 'Rain, and how long the rock is left alone after it',
  subs: { start, stop, show },
} satisfies Command;
