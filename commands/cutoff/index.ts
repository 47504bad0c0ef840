import type { Command } from '../../src/app/command.ts';
import { add } from './add.ts';
import { remove } from './remove.ts';
import { show } from './show.ts';

export default {
  name: 'cutoff',
  description: 'Times that bind',
  subs: { add, remove, show },
} satisfies Command;
