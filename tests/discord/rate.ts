import type { StandClock } from './clock.ts';
import { GLOBAL_REQUESTS_PER_S } from './limits.ts';

/**
 * Counts requests against the global limit by the stand-in's clock: at most 50 in any second
 * (topics/rate-limits.mdx; a sliding second, the strictest reading). Interaction endpoints don't
 * count. With `enforce` a request too many gets its 429; without, it is only seen in the figures.
 */
export class GlobalRate {
  enforce = false;
  perSecond = GLOBAL_REQUESTS_PER_S;
  readonly #clock: StandClock;
  readonly #timesMs: number[] = [];
  #first = 0;
  #most = 0;

  constructor(clock: StandClock) {
    this.#clock = clock;
  }

  /** Seconds to wait when this request is one too many, else undefined. */
  take(): number | undefined {
    const nowMs = this.#clock.wallMs();
    while (
      this.#first < this.#timesMs.length &&
      (this.#timesMs[this.#first] ?? 0) <= nowMs - 1000
    ) {
      this.#first += 1;
    }
    const inWindow = this.#timesMs.length - this.#first;
    if (this.enforce && inWindow >= this.perSecond) {
      return ((this.#timesMs[this.#first] ?? nowMs) + 1000 - nowMs) / 1000;
    }
    this.#timesMs.push(nowMs);
    this.#most = Math.max(this.#most, inWindow + 1);
    return undefined;
  }

  /** Requests that counted. */
  get counted(): number {
    return this.#timesMs.length;
  }

  /** Most of them within any one second. */
  get mostInOneSecond(): number {
    return this.#most;
  }
}
