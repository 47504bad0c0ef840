import type { Command } from '../../src/app/command.ts';
import { leave } from './leave.ts';
import { plan } from './plan.ts';
import { settle } from './settle.ts';

export default {
  name: 'bivy',
  description: 'Nights on the wall',
  subs: { plan, settle, leave },
} satisfies Command;
