import type { Command } from '../../src/app/command.ts';
import { exportRecord } from './export.ts';
import { show } from './show.ts';
import { verify } from './verify.ts';

export default {
  name: 'log',
  description: 'The record of everything that was told',
  subs: { show, export: exportRecord, verify },
} satisfies Command;
