import type { Logger } from 'pino';
import { commands } from '../commands/index.ts';
import { deriveWatch } from './alarm/derive.ts';
import type { App, Ids } from './app/app.ts';
import { Records } from './record/records.ts';
import type { Store } from './store/port.ts';
import type { Clock } from './time/clock.ts';

export interface Ports {
  store: Store;
  clock: Clock;
  ids: Ids;
  log: Logger;
  /** Told after a trip's record changed. Must not throw. */
  changed?(trip: string): void;
}

/** Puts the bot together from its ports. Logs in nowhere and starts nothing. */
export function buildBot(ports: Ports): App {
  const changed = ports.changed ?? (() => {});
  const records = new Records({ ...ports, changed, derive: deriveWatch });
  return { ...ports, commands, records, changed };
}
