import type { Command } from '../src/app/command.ts';
import bivy from './bivy/index.ts';
import board from './board/index.ts';
import checkin from './checkin/index.ts';
import cutoff from './cutoff/index.ts';
import decide from './decide/index.ts';
import help from './help/index.ts';
import kit from './kit/index.ts';
import lead from './lead/index.ts';
import log from './log/index.ts';
import overdue from './overdue/index.ts';
import pitch from './pitch/index.ts';
import plan from './plan/index.ts';
import privacy from './privacy/index.ts';
import rain from './rain/index.ts';
import retreat from './retreat/index.ts';
import roster from './roster/index.ts';
import schedule from './schedule/index.ts';
import shuttle from './shuttle/index.ts';
import topo from './topo/index.ts';
import topout from './topout/index.ts';
import trip from './trip/index.ts';
import trouble from './trouble/index.ts';
import weather from './weather/index.ts';

/** Every command, in the order in which a party meets them. */
export const commands: readonly Command[] = [
  help,
  trip,
  roster,
  topo,
  lead,
  pitch,
  plan,
  kit,
  decide,
  topout,
  schedule,
  cutoff,
  shuttle,
  bivy,
  rain,
  weather,
  retreat,
  checkin,
  trouble,
  overdue,
  board,
  log,
  privacy,
];
