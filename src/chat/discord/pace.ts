import type { Clock } from '../../time/clock.ts';

/** Discord, topics/rate-limits.mdx, Global Rate Limit: requests in any second, of one bot, by whichever connection. */
const LIMIT_PER_S = 50;
/** So many may go at once; then they follow each other evenly. */
const AT_ONCE = 4;
const GAP_MS = 1000 / (LIMIT_PER_S - AT_ONCE);

/**
 * When each request goes, whichever of the library's queues it comes from: each of those keeps the limit for itself
 * alone, and together they would be refused. First come, first served.
 */
export class Pace {
  readonly #clock: Pick<Clock, 'monoMs' | 'sleep'>;
  /** Monotonic time at which all that has gone so far would have gone evenly. */
  #evenMs = Number.NEGATIVE_INFINITY;

  constructor(clock: Pick<Clock, 'monoMs' | 'sleep'>) {
    this.#clock = clock;
  }

  /** Resolves when a request to this address may go, at once for what the limit isn't counted for, or when `signal` aborts. */
  async turn(url: string, signal?: AbortSignal): Promise<void> {
    // Same page: "Interaction endpoints are not bound to the bot's Global Rate Limit."
    if (/\/(?:interactions|webhooks)\//u.test(url)) return;
    const nowMs = this.#clock.monoMs();
    this.#evenMs = Math.max(nowMs, this.#evenMs) + GAP_MS;
    const waitMs = this.#evenMs - nowMs - AT_ONCE * GAP_MS;
    if (waitMs > 0) await this.#clock.sleep(waitMs, signal);
  }
}
