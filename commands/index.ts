import type { Command } from '../src/app/command.ts';
import bivy from './bivy.ts';
import board from './board.ts';
import checkin from './checkin.ts';
import cutoff from './cutoff.ts';
import help from './help.ts';
import lead from './lead.ts';
import log from './log.ts';
import overdue from './overdue.ts';
import pitch from './pitch.ts';
import rain from './rain.ts';
import roster from './roster.ts';
import schedule from './schedule.ts';
import shuttle from './shuttle.ts';
import topo from './topo.ts';
import topout from './topout.ts';
import trip from './trip.ts';

/** Every command, in the order in which a party meets them. */
export const commands: readonly Command[] = [
  help,
  trip,
  roster,
  topo,
  lead,
  pitch,
  topout,
  schedule,
  cutoff,
  shuttle,
  bivy,
  rain,
  checkin,
  overdue,
  board,
  log,
];
