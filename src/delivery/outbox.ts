import type { Delivery, NoticeRow } from '../store/port.ts';
import { type Lane, Lanes, type Place, SLOW_MS } from './lanes.ts';
import type { WatchParts } from './ports.ts';
import { ATTEMPT_MS, prepareNotice } from './send.ts';

/** Notices taken from the store at a time, and those among them whose way is still to be found out. */
const LOT = 128;
const SORTED_AT_ONCE = 64;
/** Longer than the longest attempt, so that nobody else takes a notice that is on its way. */
const LEASE_MS = ATTEMPT_MS + 15_000;
/** Notices whose way is remembered. */
const REMEMBERED = 50_000;

/**
 * Takes what is ready, most urgent first, and delivers it, each in the lane of its way and server. Order
 * of things: send, then mark; so a crash in between sends again with the same nonce rather than not at
 * all.
 */
export class Outbox {
  readonly #parts: WatchParts;
  readonly #nowMs: () => number;
  readonly #freed: () => void;
  readonly #lanes = new Lanes();
  /** Where a notice goes next, as far as it has been found out. */
  readonly #laneOf = new Map<string, Lane>();
  readonly #flying = new Map<string, Promise<void>>();

  /** `nowMs` never goes back; `freed` is called when a place has become free. */
  constructor(parts: WatchParts, nowMs: () => number, freed: () => void = () => {}) {
    this.#parts = parts;
    this.#nowMs = nowMs;
    this.#freed = freed;
  }

  get inFlight(): number {
    return this.#flying.size;
  }

  /** Starts what there is room for; resolves to how many were started. */
  async start(): Promise<number> {
    const nowMs = this.#nowMs();
    const places = new Map<string, Place>();
    let sorted = 0;
    const rows = await this.#parts.store
      .claimNotices({
        nowMs,
        owner: this.#parts.owner,
        leaseUntilMs: nowMs + LEASE_MS,
        limit: LOT,
        take: (row) => {
          const lane = this.#laneOf.get(row.key);
          if (lane === undefined) return ++sorted <= SORTED_AT_ONCE;
          if (!this.#lanes.free(lane, row.urgency)) return false;
          places.set(row.key, this.#lanes.take(lane));
          return true;
        },
      })
      .catch((error: unknown) => {
        for (const place of places.values()) place.give();
        throw error;
      });
    // Those that another process got in between keep no place.
    const got = new Set(rows.map((row) => row.key));
    for (const [key, place] of places) if (!got.has(key)) place.give();
    for (const row of rows) {
      const flight = this.#fly(row, places.get(row.key)).finally(() => {
        this.#flying.delete(row.key);
        this.#freed();
      });
      this.#flying.set(row.key, flight);
    }
    return rows.length;
  }

  /** Delivers until nothing is ready and nothing is on its way. */
  async drain(): Promise<number> {
    let count = 0;
    for (;;) {
      const started = await this.start();
      count += started;
      if (started === 0 && this.#flying.size === 0) return count;
      await (started === 0 ? Promise.race(this.#flying.values()) : Promise.resolve());
    }
  }

  /** Resolves when what is on its way has landed. */
  async landed(): Promise<void> {
    await Promise.allSettled(this.#flying.values());
  }

  async #fly(row: NoticeRow, taken: Place | undefined): Promise<void> {
    const { parts } = { parts: this.#parts };
    let place = taken;
    let outcome: Delivery['outcome'];
    try {
      const prepared = await prepareNotice(
        { parts, nowMs: this.#nowMs(), queued: this.#freed },
        row,
      );
      if ('outcome' in prepared) outcome = prepared.outcome;
      else {
        const known = this.#laneOf.get(row.key);
        if (known !== undefined && !same(known, prepared.lane)) {
          place?.give();
          place = undefined;
        }
        place ??= this.#place(row, prepared.lane);
        outcome =
          place === undefined ? { status: 'untried' } : await this.#timed(place, prepared.go);
      }
    } catch (error) {
      // The store or our own code: the lease runs out and somebody takes it up again.
      parts.counters.fault('send');
      parts.log.error({ err: error, key: row.key }, 'a notice could not be handled');
      return;
    } finally {
      place?.give();
    }
    await this.#landed(row, outcome);
  }

  /** An attempt that takes long makes room for others. */
  async #timed(place: Place, go: () => Promise<Delivery['outcome']>): Promise<Delivery['outcome']> {
    const done = new AbortController();
    let slow = false;
    void this.#parts.clock.sleep(SLOW_MS, done.signal).then(() => {
      if (done.signal.aborted) return;
      place.slow();
      slow = true;
      this.#freed();
    });
    const outcome = await go().finally(() => done.abort());
    if (!slow) place.quick();
    return outcome;
  }

  /** A place in its lane; without room it is remembered where it waits. */
  #place(row: NoticeRow, lane: Lane): Place | undefined {
    if (this.#lanes.free(lane, row.urgency)) return this.#lanes.take(lane);
    this.#laneOf.set(row.key, lane);
    for (const oldest of this.#laneOf.keys()) {
      if (this.#laneOf.size <= REMEMBERED) break;
      this.#laneOf.delete(oldest);
    }
    return undefined;
  }

  async #landed(row: NoticeRow, outcome: Delivery['outcome']): Promise<void> {
    const { parts } = { parts: this.#parts };
    if (outcome.status !== 'untried') this.#laneOf.delete(row.key);
    const wallMs = parts.clock.wallMs();
    await this.#mark({ key: row.key, atMs: wallMs, outcome });
    if (outcome.status === 'pending' || outcome.status === 'untried') return;
    const why = outcome.status === 'sent' ? 'ok' : outcome.error;
    parts.counters.ended(outcome.status, why, Math.max(0, wallMs - row.dueAtMs));
    if (outcome.status === 'failed' || outcome.status === 'expired') {
      parts.log.error({ key: row.key, why }, 'a notice reached nobody');
    }
  }

  async #mark(delivery: Delivery): Promise<void> {
    try {
      await this.#parts.store.recordDeliveries([delivery]);
    } catch (error) {
      this.#parts.counters.fault('send');
      this.#parts.log.error({ err: error, key: delivery.key }, 'a delivery could not be marked');
    }
  }
}

function same(a: Lane, b: Lane): boolean {
  return a.way === b.way && a.person === b.person && a.servers.join() === b.servers.join();
}
