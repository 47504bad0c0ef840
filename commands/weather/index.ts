import type { Command } from '../../src/app/command.ts';
import { rock } from './rock.ts';
import { set } from './set.ts';
import { show } from './show.ts';

export default {
  name: 'weather',
  description: 'What the weather is told to be, and what it does to the climb',
  subs: { set, show, rock },
} satisfies Command;
