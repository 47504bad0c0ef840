import type { Logger } from 'pino';
import type { Sheet } from '../alarm/sheet.ts';
import type { Records } from '../record/records.ts';
import type { FileOut } from '../say/reply.ts';
import type { Store } from '../store/port.ts';
import type { Clock } from '../time/clock.ts';
import type { Boards } from './board/port.ts';
import type { Command } from './command.ts';
import type { Pages } from './page/port.ts';
import type { Pictures } from './pictures.ts';

/** Fresh identifiers; seeded in scripts and tests so that the output is the same each time. */
export interface Ids {
  /** 8 characters, lower case letters and digits. */
  trip(): string;
  event(): string;
  /** Short reference told to a user and written to the log. */
  reference(): string;
}

/** The parts a command and a use case work with; wired together in main.ts. */
export interface App {
  store: Store;
  clock: Clock;
  ids: Ids;
  log: Logger;
  /** All commands, for help, completion and registration. */
  commands: readonly Command[];
  /** The one way into a trip's record. */
  records: Records;
  /** Told after a change is stored: the board and the watch's loop listen. Must not throw. */
  changed(trip: string): void;
  /** True where no mail server is set up, so that e-mail reaches nobody. */
  withoutMail?: boolean;
  /** Draws trips; without it answers have no picture. */
  pictures?: Pictures;
  /** Keeps the pinned messages; without it /board answers with the board itself. */
  board?: Boards;
  /** The sheet as a print-ready file; plain text without it. */
  printSheet?(sheet: Sheet): FileOut;
  /** Links to the status page; without it there is no page. */
  pages?: Pages;
}
