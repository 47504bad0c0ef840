import type { Command } from '../src/app/command.ts';
import help from './help.ts';
import lead from './lead.ts';
import log from './log.ts';
import pitch from './pitch.ts';
import roster from './roster.ts';
import topo from './topo.ts';
import trip from './trip.ts';

/** Every command, in the order in which a party meets them. */
export const commands: readonly Command[] = [help, trip, roster, topo, lead, pitch, log];
