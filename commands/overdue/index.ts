import type { Command } from '../../src/app/command.ts';
import { ack } from './ack.ts';
import { agree } from './agree.ts';
import { delays } from './delays.ts';
import { details } from './details.ts';
import { link } from './link.ts';
import { resolve } from './resolve.ts';
import { sheet } from './sheet.ts';
import { show } from './show.ts';

export default {
  name: 'overdue',
  description: 'The watch: what is late, who knows, what to do',
  subs: { show, ack, resolve, agree, sheet, link, details, delays },
} satisfies Command;
