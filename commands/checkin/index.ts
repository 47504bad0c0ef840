import type { Command } from '../../src/app/command.ts';
import { contact } from './contact.ts';
import { drill } from './drill.ts';
import { ok } from './ok.ts';
import { plan } from './plan.ts';

export default {
  name: 'checkin',
  description: 'Promised signs of life, and a rehearsal of the alarm',
  subs: { ok, plan, contact, drill },
} satisfies Command;
