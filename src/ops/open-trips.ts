import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Logger } from 'pino';
import type { Store } from '../store/port.ts';

/**
 * The ids of the open trips, noted in a file beside the database and not in it. A database that was replaced
 * by an empty or an older one is found out by it: a trip that ended still has its row, a lost one has none.
 */
export class OpenTrips {
  readonly #store: Pick<Store, 'openTrips' | 'trip'>;
  readonly #file: string;
  readonly #log: Pick<Logger, 'error'>;
  #said = '';

  constructor(
    store: Pick<Store, 'openTrips' | 'trip'>,
    dataFolder: string,
    log: Pick<Logger, 'error'>,
  ) {
    this.#store = store;
    this.#file = join(dataFolder, 'open-trips');
    this.#log = log;
  }

  /** Ids of trips that were open and are not in the database any more. Notes those that are open now. */
  async missing(): Promise<string[]> {
    const noted = this.#read();
    const open = (await this.#store.openTrips()).map((row) => row.id);
    const missing: string[] = [];
    for (const id of noted.filter((trip) => !open.includes(trip))) {
      if ((await this.#store.trip(id)) === undefined) missing.push(id);
    }
    const now = [...open, ...missing];
    if (now.join() !== noted.join()) this.#write(now);
    this.#say(missing);
    return missing;
  }

  #read(): string[] {
    try {
      return readFileSync(this.#file, 'utf8').split(/\s+/u).filter(Boolean);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
      throw error;
    }
  }

  /** Whole or not at all. */
  #write(ids: readonly string[]): void {
    const whole = `${this.#file}.new`;
    writeFileSync(whole, ids.map((id) => `${id}\n`).join(''), { mode: 0o600 });
    renameSync(whole, this.#file);
  }

  #say(missing: readonly string[]): void {
    const trips = missing.join();
    if (trips !== '' && trips !== this.#said) {
      this.#log.error({ trips: missing }, 'trips that were open are not in the database any more');
    }
    this.#said = trips;
  }
}
