import type { Clock } from '../../time/clock.ts';

/** Discord, topics/rate-limits.mdx, Global Rate Limit: requests in any second, of one bot, by whichever connection. */
const LIMIT_PER_S = 50;
/** So many may go at once; then they follow each other evenly. */
const AT_ONCE = 4;
const GAP_MS = 1000 / (LIMIT_PER_S - AT_ONCE);

/** Last of all: what nobody waits for, such as a board. */
const UNNAMED = 9;

interface Waiting {
  urgency: number;
  go(): void;
}

/**
 * When each request goes, whichever of the library's queues it comes from: each of those keeps the limit for itself
 * alone, and together they would be refused. The most urgent first; first come, first served among their like.
 */
export class Pace {
  readonly #clock: Pick<Clock, 'monoMs' | 'sleep'>;
  /** Monotonic time at which all that has gone so far would have gone evenly. */
  #evenMs = Number.NEGATIVE_INFINITY;
  /** In the order in which they go. */
  readonly #waiting: Waiting[] = [];
  #letting = false;

  constructor(clock: Pick<Clock, 'monoMs' | 'sleep'>) {
    this.#clock = clock;
  }

  /**
   * Resolves when a request to this address may go, at once for what the limit isn't counted for, or when `signal`
   * aborts. Urgency as a notice has it: 0 is distress.
   */
  async turn(
    url: string,
    { urgency = UNNAMED, signal }: { urgency?: number; signal?: AbortSignal } = {},
  ): Promise<void> {
    // Same page: "Interaction endpoints are not bound to the bot's Global Rate Limit."
    if (/\/(?:interactions|webhooks)\//u.test(url) || signal?.aborted === true) return;
    await new Promise<void>((go) => {
      const one: Waiting = { urgency, go };
      const behind = this.#waiting.findIndex((other) => other.urgency > urgency);
      this.#waiting.splice(behind < 0 ? this.#waiting.length : behind, 0, one);
      signal?.addEventListener('abort', () => this.#leave(one), { once: true });
      if (!this.#letting) void this.#letGo();
    });
  }

  #leave(one: Waiting): void {
    const at = this.#waiting.indexOf(one);
    if (at >= 0) this.#waiting.splice(at, 1);
    one.go();
  }

  /** Lets them go one by one. Whose turn it is is decided when it has come. */
  async #letGo(): Promise<void> {
    this.#letting = true;
    while (this.#waiting.length > 0) {
      const nowMs = this.#clock.monoMs();
      const evenMs = Math.max(nowMs, this.#evenMs) + GAP_MS;
      const waitMs = evenMs - nowMs - AT_ONCE * GAP_MS;
      if (waitMs > 0) await this.#clock.sleep(waitMs);
      const next = this.#waiting.shift();
      if (next === undefined) break;
      this.#evenMs = evenMs;
      next.go();
    }
    this.#letting = false;
  }
}
