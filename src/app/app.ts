import type { Logger } from 'pino';
import type { Store } from '../store/port.ts';
import type { Clock } from '../time/clock.ts';
import type { Command } from './command.ts';

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
}
