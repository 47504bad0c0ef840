import type { Command } from '../../src/app/command.ts';
import { assign } from './assign.ts';
import { link } from './link.ts';
import { next } from './next.ts';
import { order } from './order.ts';
import { plan } from './plan.ts';
import { swap } from './swap.ts';
import { unlink } from './unlink.ts';

export default {
  name: 'lead',
  description: 'Who leads what',
  subs: { next, plan, assign, swap, order, link, unlink },
} satisfies Command;
