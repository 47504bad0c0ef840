import type { Command } from '../../src/app/command.ts';
import { plan } from './plan.ts';

export default {
  name: 'plan',
  description: plan.description,
  bare: plan,
} satisfies Command;
