import type { Command } from '../../src/app/command.ts';
import { add } from './add.ts';
import { edit } from './edit.ts';
import { remove } from './remove.ts';
import { show } from './show.ts';

export default {
  name: 'roster',
  description: 'Who climbs, who is on the ground, who waits at home',
  subs: { add, edit, remove, show },
} satisfies Command;
