import type { Command } from '../../src/app/command.ts';
import { add } from './add.ts';
import { load } from './load.ts';
import { next } from './next.ts';
import { pick } from './pick.ts';

export default {
  name: 'shuttle',
  description: 'The way home from the trailhead',
  subs: { add, load, pick, next },
} satisfies Command;
