import type { Database } from 'better-sqlite3';
import type { Clock } from '../../time/clock.ts';
import { isBusy } from './errors.ts';

/** How often it is looked whether another process has written. The look itself reads no page of the file. */
const LOOK_EVERY_MS = 1_000;

/**
 * Tells of trips that another connection has changed. SQLite tells nobody, so it is asked: `data_version`
 * moves when another connection has committed (sqlite.org/pragma.html#pragma_data_version).
 */
export class ChangePoll {
  readonly #db: Database;
  readonly #clock: Clock;
  readonly #hearers = new Set<(trip: string) => void>();
  readonly #off = new AbortController();
  #version: unknown;
  #seen = 0;
  #running: Promise<void> | undefined;

  constructor(db: Database, clock: Clock) {
    this.#db = db;
    this.#clock = clock;
  }

  hear(hear: (trip: string) => void): () => Promise<void> {
    this.#hearers.add(hear);
    if (this.#running === undefined) {
      this.#version = this.#db.pragma('data_version', { simple: true });
      this.#seen = this.#newest();
      this.#running = this.#run();
    }
    return async () => void this.#hearers.delete(hear);
  }

  /** Takes what this process has written itself for told, before another connection of ours writes. */
  catchUp(): void {
    if (this.#running === undefined) return;
    const newest = this.#newest();
    if (this.#db.pragma('data_version', { simple: true }) === this.#version) this.#seen = newest;
    else this.#look();
  }

  async close(): Promise<void> {
    this.#off.abort();
    await this.#running;
  }

  async #run(): Promise<void> {
    for (;;) {
      await this.#clock.sleep(LOOK_EVERY_MS, this.#off.signal);
      if (this.#off.signal.aborted) return;
      this.#look();
    }
  }

  #look(): void {
    try {
      this.#tell();
    } catch (error) {
      // What was missed is found by the next look; any other error is said by whoever needs the file.
      if (!isBusy(error)) this.#version = undefined;
    }
  }

  #tell(): void {
    const version = this.#db.pragma('data_version', { simple: true });
    if (version === this.#version) return;
    const rows = this.#db
      .prepare<[number], { id: string; changed: number }>(
        'SELECT id, changed FROM trip WHERE changed > ? ORDER BY changed',
      )
      .all(this.#seen);
    this.#version = version;
    this.#seen = rows.at(-1)?.changed ?? this.#seen;
    for (const { id } of rows) for (const hear of this.#hearers) hear(id);
  }

  #newest(): number {
    return (
      this.#db.prepare<[], number>('SELECT coalesce(max(changed), 0) FROM trip').pluck().get() ?? 0
    );
  }
}
