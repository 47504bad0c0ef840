import type { Command } from '../../src/app/command.ts';
import { erase } from './erase.ts';
import { keep } from './keep.ts';
import { show } from './show.ts';

export default {
  name: 'privacy',
  description: 'What is kept about you, and for how long',
  subs: { show, erase, keep },
} satisfies Command;
