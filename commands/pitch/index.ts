import type { Command } from '../../src/app/command.ts';
import { amend } from './amend.ts';
import { pause } from './break.ts';
import { done } from './done.ts';
import { fixed } from './fixed.ts';
import { start } from './start.ts';
import { strike } from './strike.ts';

export default {
  name: 'pitch',
  description: 'What happened on the wall, and when',
  subs: { start, fixed, done, break: pause, amend, strike },
} satisfies Command;
