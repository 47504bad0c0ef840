import type { Logger } from 'pino';
import type { Sheet } from '../alarm/sheet.ts';
import type { Records } from '../record/records.ts';
import type { Words } from '../say/contact/words.ts';
import type { FileOut } from '../say/reply.ts';
import type { Store } from '../store/port.ts';
import type { Clock } from '../time/clock.ts';
import type { Boards } from './board/port.ts';
import type { Changes } from './changes.ts';
import type { Command } from './command.ts';
import type { KeptForecasts } from './forecast/kept.ts';
import type { Invitations } from './invitations.ts';
import type { MailAddresses } from './mail-addresses.ts';
import type { NtfyDoor, Pages, PushDoor } from './page/port.ts';
import type { Pictures } from './pictures.ts';
import type { Reading } from './reading.ts';
import type { WaitingFeeds } from './waiting-feeds.ts';

/** Fresh identifiers; seeded in scripts and tests so that the output is the same each time. */
export interface Ids {
  /** 8 characters, lower case letters and digits. */
  trip(): string;
  event(): string;
  /** Short reference told to a user and written to the log. */
  reference(): string;
}

/** What reads and writes trips, before anything around it is there: what the boards are drawn from. */
export interface Core {
  readonly store: Store;
  readonly clock: Clock;
  readonly ids: Ids;
  readonly log: Logger;
  /** The one way into a trip's record. */
  readonly records: Records;
  /** Tells the watch's loop and the boards of what is stored. */
  readonly changes: Changes;
  readonly forecasts: KeptForecasts;
  /** Draws trips. */
  readonly pictures: Pictures;
}

/** The parts a command and a use case work with; made whole by bot.ts. */
export interface App extends Core {
  /** All commands, for help, completion and registration. */
  readonly commands: readonly Command[];
  /** Feeds that were loaded and wait for a choice. */
  readonly feeds: WaitingFeeds;
  /** Why e-mail reaches nobody: no server is set up, or it refuses our mail now. Undefined while it does. */
  withoutMail(): 'none' | 'refused' | undefined;
  /** Since when posts don't reach us, epoch milliseconds; undefined while they do. */
  deafSinceMs(): number | undefined;
  /** Keeps the pinned messages; where nothing can be pinned, /board answers with the board itself. */
  readonly board: Boards | undefined;
  /** The sheet as a print-ready file. */
  printSheet(sheet: Sheet, w?: Words): FileOut;
  /** Who may be asked to be contact, and what proves an answer. */
  readonly invitations: Invitations;
  /** Works through files that people attach. */
  readonly reading: Reading;
  /** Days that a record is kept after its last word, at most. */
  readonly keepDays: number;
  /** Addresses at which mail is read; undefined where none is. */
  readonly mailAddresses: MailAddresses | undefined;
  /** Whether text messages or calls go out to phones. */
  readonly phones: boolean;
  /** What a browser needs to take push messages from us; undefined where there are none. */
  readonly push: PushDoor | undefined;
  /** Where contacts may have messages by ntfy; undefined where there are none. */
  readonly ntfy: NtfyDoor | undefined;
  /** Links to the status page; undefined where there is none. */
  readonly pages: Pages | undefined;
}
