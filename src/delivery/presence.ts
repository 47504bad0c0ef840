import type { Logger } from 'pino';
import type { Store } from '../store/port.ts';
import type { Clock } from '../time/clock.ts';

/** A process that has not been seen for so long is gone, and what it had on its way is taken over. */
const GONE_MS = 15_000;
const SEEN_EVERY_MS = 5_000;

interface Parts {
  store: Pick<Store, 'hold' | 'releaseGone'>;
  clock: Clock;
  log: Pick<Logger, 'info' | 'warn'>;
  owner: string;
}

/**
 * Shows the processes on the same database that this one is at work, and takes over from those that no
 * longer show it. So whatever ended a process, its work is taken up within half a minute.
 */
export class Presence {
  readonly #parts: Parts;
  readonly #taken: () => void;
  #seen = true;

  /** `taken` is called when there is work of another to be done. */
  constructor(parts: Parts, taken: () => void) {
    this.#parts = parts;
    this.#taken = taken;
  }

  async run(signal: AbortSignal): Promise<void> {
    for (;;) {
      await this.#parts.clock.sleep(SEEN_EVERY_MS, signal);
      if (signal.aborted) return;
      await this.show();
    }
  }

  /** Never rejects: a database that can't be written is told elsewhere, and the watch goes on. */
  async show(): Promise<void> {
    const { store, owner, log } = this.#parts;
    try {
      const [, gone] = await Promise.all([
        store.hold(`process:${owner}`, owner, GONE_MS),
        store.releaseGone(),
      ]);
      this.#seen = true;
      if (gone.length === 0) return;
      log.info({ gone }, 'took over from processes that are gone');
      this.#taken();
    } catch (error) {
      if (this.#seen)
        log.warn({ err: error }, 'it could not be written that this process is alive');
      this.#seen = false;
    }
  }
}
