import { parseArgs } from 'node:util';

export interface Arguments {
  /** Plays a script instead of opening a channel. */
  script?: string;
  json: boolean;
  /** Plays the demo climb that comes with the bot. */
  demo: boolean;
  help: boolean;
  /** Prints which release this is, and ends. */
  version: boolean;
  /** Writes a copy of the database here, while the bot may be running, and ends. */
  backup?: string;
  /** Copies the database from the file into PostgreSQL, or back, and ends. */
  move?: Move;
  /** Prints the trips in the database, and ends. */
  list: boolean;
  /** Erases this trip, and ends. */
  purge?: string;
}

export type Move = 'to-postgres' | 'to-file';

export const USAGE = `tagline keeps a climbing party's trip on a long wall, in a chat.

  tagline                        a local channel, or Discord when DISCORD_TOKEN is set
  tagline --demo                 plays the demo climb
  tagline --script FILE          plays a file on its own clock
  tagline --script FILE --json   the same, one JSON line an answer or notice
  tagline --backup FILE          copies the database, while the bot may be running
  tagline --move to-postgres     copies the stopped bot's file into the database of TAGLINE_DATABASE_URL
  tagline --move to-file         the other way
  tagline --list                 the trips in the database, and when each erases itself
  tagline --purge TRIP           erases one by its id, one that can't be read too
  tagline --version              says which release this is

In a checkout "npm start --" stands for "tagline": npm start -- --script FILE
The database is in the folder "data" where it is started, or in the one that TAGLINE_DATA names.
`;

/** Throws with a plain message when an argument isn't known. */
export function readArguments(argv: readonly string[]): Arguments {
  const { values } = parseArgs({
    args: [...argv],
    options: {
      script: { type: 'string' },
      backup: { type: 'string' },
      move: { type: 'string' },
      purge: { type: 'string' },
      list: { type: 'boolean', default: false },
      json: { type: 'boolean', default: false },
      demo: { type: 'boolean', default: false },
      help: { type: 'boolean', default: false, short: 'h' },
      version: { type: 'boolean', default: false, short: 'v' },
    },
  });
  const { script, backup, move, purge, ...rest } = values;
  if (move !== undefined && move !== 'to-postgres' && move !== 'to-file') {
    throw new Error('--move is followed by to-postgres or by to-file');
  }
  return {
    ...rest,
    ...(script === undefined ? {} : { script }),
    ...(backup === undefined ? {} : { backup }),
    ...(move === undefined ? {} : { move }),
    ...(purge === undefined ? {} : { purge }),
  };
}
