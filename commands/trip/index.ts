import type { Command } from '../../src/app/command.ts';
import { close } from './close.ts';
import { debrief } from './debrief.ts';
import { depart } from './depart.ts';
import { down } from './down.ts';
import { edit } from './edit.ts';
import { open } from './open.ts';
import { openers } from './openers.ts';
import { pace } from './pace.ts';
import { purge } from './purge.ts';
import { show } from './show.ts';

export default {
  name: 'trip',
  description: 'A trip in this channel, from opening to everyone down',
  subs: { open, openers, show, edit, pace, depart, down, close, debrief, purge },
} satisfies Command;
