import type { Logger } from 'pino';
import { commands } from '../commands/index.ts';
import { deriveWatch } from './alarm/derive.ts';
import type { App, Core, Ids } from './app/app.ts';
import { Changes } from './app/changes.ts';
import { KeptForecasts } from './app/forecast/kept.ts';
import { Invitations } from './app/invitations.ts';
import { MailAddresses } from './app/mail-addresses.ts';
import { createSeals } from './app/page/seals.ts';
import type { Pictures } from './app/pictures.ts';
import { WaitingFeeds } from './app/waiting-feeds.ts';
import { printableSheet } from './page/server/sheet-page.ts';
import { Records } from './record/records.ts';
import type { Store } from './store/port.ts';
import type { Clock } from './time/clock.ts';

/** What the machine gives. */
export interface Ports {
  store: Store;
  clock: Clock;
  ids: Ids;
  log: Logger;
}

/** What stands around the bot, as the way of running has it. */
export type Surroundings = Pick<
  App,
  'withoutMail' | 'deafSinceMs' | 'board' | 'pages' | 'keepDays' | 'reading'
> &
  Partial<Pick<App, 'phones' | 'push' | 'ntfy'>> & {
    /** The installation's secret, at least 32 bytes: what is sent to contacts is proved by it. */
    secret: Uint8Array;
    /** The address at which mail is read, with a * where a secret goes; left out where none is. */
    inbox?: string | undefined;
  };

/** What reads and writes trips. Logs in nowhere and starts nothing. */
export function buildCore(ports: Ports, pictures: Pictures, forecasts = new KeptForecasts()): Core {
  const changes = new Changes();
  const records = new Records({
    ...ports,
    derive: deriveWatch,
    changed: (trip) => changes.tell(trip),
  });
  return { ...ports, records, changes, forecasts, pictures };
}

/** The whole bot, once everything around it is there. */
export function buildBot(core: Core, { secret, inbox, ...around }: Surroundings): App {
  const seals = createSeals(secret);
  return {
    ...core,
    phones: false,
    push: undefined,
    ntfy: undefined,
    ...around,
    commands,
    feeds: new WaitingFeeds(),
    invitations: new Invitations(core.store, seals),
    mailAddresses: inbox === undefined ? undefined : new MailAddresses(core.store, seals, inbox),
    printSheet: printableSheet,
  };
}
