import { createHash, randomUUID } from 'node:crypto';
import type { Client } from 'pg';
import type { Link, Query } from './link.ts';

/** Notifications may be lost with a connection; what is changed is looked for this often all the same. */
const LOOK_EVERY_MS = 5_000;
/** Between tries to listen again. */
const AGAIN_MS = [200, 1_000, 5_000] as const;

/** Trips changed by transactions that the last look could not see all of, and where the next look begins. */
const CHANGED: Query = {
  name: 'changed',
  text: `SELECT pg_snapshot_xmin(pg_current_snapshot())::text::bigint AS next,
    (SELECT json_agg(json_build_array(id, changed)) FROM trip WHERE changed >= $1) AS trips`,
};

interface Look {
  next: number;
  trips: [trip: string, changed: number][] | null;
}

/**
 * Tells of trips that other stores of the database have changed: by NOTIFY at once, and beneath it by
 * looking. A transaction's number says when it began, not when it was committed: so each look begins
 * where the oldest one then under way stood (`pg_snapshot_xmin`), and nothing that commits late is missed.
 */
export class ChangeFeed {
  readonly #link: Link;
  readonly #channel: Promise<string>;
  readonly #self = randomUUID();
  readonly #hearers = new Set<(trip: string) => void>();
  /** What was told, or was done here: each change is told once. */
  readonly #told = new Map<string, number>();
  readonly #off = new AbortController();
  #telling: { trip: string; changed: number }[] = [];
  #sending: Promise<void> | undefined;
  #running: Promise<unknown> | undefined;
  #from = 0;

  constructor(link: Link, schema: Promise<string>) {
    this.#link = link;
    // Channels are the whole database's, our tables those of one schema.
    this.#channel = schema.then(
      (name) => `tagline_${createHash('sha256').update(name).digest('hex').slice(0, 16)}`,
    );
    this.#channel.catch(() => undefined);
  }

  async hear(hear: (trip: string) => void): Promise<() => Promise<void>> {
    if (this.#running === undefined) {
      const [{ next } = { next: 0 }] = await this.#link.ask<Look>(CHANGED, [
        Number.MAX_SAFE_INTEGER,
      ]);
      this.#from = next;
      // Listens before it resolves: whoever changes something afterwards is heard at once.
      const first = await this.#listen().catch(() => undefined);
      this.#running ??= Promise.all([this.#keepListening(first), this.#keepLooking()]);
    }
    this.#hearers.add(hear);
    return async () => void this.#hearers.delete(hear);
  }

  /**
   * To be called after a change of ours is committed. Told apart from it, because a transaction that
   * notifies waits for every other that does (NOTIFY takes one lock of the database at commit).
   */
  changed(trip: string, changed: number): void {
    this.#told.set(trip, changed);
    this.#telling.push({ trip, changed });
    this.#sending ??= this.#send().finally(() => {
      this.#sending = undefined;
    });
  }

  async close(): Promise<void> {
    this.#off.abort();
    await this.#sending;
    await this.#running;
  }

  async #send(): Promise<void> {
    while (this.#telling.length > 0) {
      const lot = this.#telling.splice(0, 50);
      const text = JSON.stringify([this.#self, ...lot.map((t) => [t.trip, t.changed])]);
      // Whoever misses it finds the change by looking.
      await this.#link
        .ask({ name: 'notify', text: 'SELECT pg_notify($1, $2)' }, [await this.#channel, text])
        .catch(() => undefined);
    }
  }

  async #listen(): Promise<Client> {
    const client = this.#link.client();
    client.on('notification', ({ payload = '[]' }) => {
      const [from, ...trips] = JSON.parse(payload) as [string, ...[string, number][]];
      if (from !== this.#self) for (const [trip, changed] of trips) this.#tell(trip, changed);
    });
    client.on('error', () => undefined);
    await client.connect();
    await client.query(`LISTEN ${await this.#channel}`);
    return client;
  }

  async #keepListening(first: Client | undefined): Promise<void> {
    const off = this.#off.signal;
    let client = first;
    for (let failures = 0; !off.aborted; ) {
      if (client !== undefined) {
        failures = 0;
        await ended(client, off);
        await client.end().catch(() => undefined);
        if (off.aborted) return;
      }
      await this.#link.clock.sleep(AGAIN_MS[Math.min(failures, AGAIN_MS.length - 1)] ?? 0, off);
      if (off.aborted) return;
      client = await this.#listen().catch(() => undefined);
      failures += 1;
    }
    await client?.end().catch(() => undefined);
  }

  async #keepLooking(): Promise<void> {
    for (;;) {
      await this.#link.clock.sleep(LOOK_EVERY_MS, this.#off.signal);
      if (this.#off.signal.aborted) return;
      // A server that is gone is said by whoever needs it; what was missed is found by the next look.
      await this.#look().catch(() => undefined);
    }
  }

  async #look(): Promise<void> {
    const [look] = await this.#link.ask<Look>(CHANGED, [this.#from]);
    if (look === undefined) return;
    for (const [trip, changed] of look.trips ?? []) this.#tell(trip, changed);
    for (const [trip, changed] of this.#told) if (changed < look.next) this.#told.delete(trip);
    this.#from = look.next;
  }

  #tell(trip: string, changed: number): void {
    if (this.#told.get(trip) === changed) return;
    this.#told.set(trip, changed);
    for (const hear of this.#hearers) hear(trip);
  }
}

/** Resolves when the connection is gone, or `off` aborts. */
function ended(client: Client, off: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    const done = () => resolve();
    if (off.aborted) return resolve();
    off.addEventListener('abort', done, { once: true });
    client.on('end', done).on('error', done);
  });
}
