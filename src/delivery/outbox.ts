import type { Delivery, NoticeRow } from '../store/port.ts';
import type { WatchParts } from './ports.ts';
import { ATTEMPT_MS, sendNotice } from './send.ts';

/** Notices on their way at the same time: one that hangs holds up nobody else. */
const WIDTH = 16;
/** Longer than the longest attempt, so that nobody else takes a notice that is on its way. */
const LEASE_MS = ATTEMPT_MS + 15_000;

/**
 * Takes what is ready, most urgent first, and delivers it. Order of things: send, then mark; so a
 * crash in between sends again with the same nonce rather than not at all.
 */
export class Outbox {
  readonly #parts: WatchParts;
  readonly #nowMs: () => number;
  readonly #freed: () => void;
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
    const room = WIDTH - this.#flying.size;
    if (room <= 0) return 0;
    const nowMs = this.#nowMs();
    const rows = await this.#parts.store.claimNotices({
      nowMs,
      owner: this.#parts.owner,
      leaseUntilMs: nowMs + LEASE_MS,
      limit: room,
    });
    for (const row of rows) {
      const flight = this.#fly(row).finally(() => {
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
      if (this.#flying.size === 0) return count;
      await (started === 0 || this.#flying.size >= WIDTH
        ? Promise.race(this.#flying.values())
        : Promise.resolve());
    }
  }

  /** Resolves when what is on its way has landed. */
  async landed(): Promise<void> {
    await Promise.allSettled(this.#flying.values());
  }

  async #fly(row: NoticeRow): Promise<void> {
    const { parts } = { parts: this.#parts };
    let outcome: Delivery['outcome'];
    try {
      outcome = await sendNotice({ parts, nowMs: this.#nowMs() }, row);
    } catch (error) {
      // The store or our own code: the lease runs out and somebody takes it up again.
      parts.counters.fault('send');
      parts.log.error({ err: error, key: row.key }, 'a notice could not be handled');
      return;
    }
    const wallMs = parts.clock.wallMs();
    await this.#mark({ key: row.key, atMs: wallMs, outcome });
    if (outcome.status === 'pending') return;
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
