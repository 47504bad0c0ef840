import type { Command } from '../../src/app/command.ts';
import { edit } from './edit.ts';
import { load } from './load.ts';
import { remove } from './remove.ts';
import { show } from './show.ts';

export default {
  name: 'topo',
  description: 'The pitches of the route',
  subs: { load, show, edit, remove },
} satisfies Command;
