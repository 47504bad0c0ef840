import type { Clock } from '../../time/clock.ts';

/** The span over which Discord counts invalid requests (topics/rate-limits.mdx, Invalid Request Limit). */
const SPAN_MS = 10 * 60_000;
const SLOTS = 10;

/**
 * Discord shuts out an address that makes 10,000 invalid requests in ten minutes: those answered with 401, 403
 * or 429, apart from a 429 of a limit that is shared with others.
 */
export class RequestCounts {
  readonly #clock: Clock;
  /** By minute of the monotonic clock. */
  readonly #slots = new Map<number, number>();
  #limited = 0;
  #invalid = 0;

  constructor(clock: Clock) {
    this.#clock = clock;
  }

  /** @param scope the answer's X-RateLimit-Scope */
  answered(status: number, scope: string | null): void {
    if (status === 429) this.#limited += 1;
    const invalid = status === 401 || status === 403 || (status === 429 && scope !== 'shared');
    if (!invalid) return;
    this.#invalid += 1;
    const slot = this.#slot();
    this.#slots.set(slot, (this.#slots.get(slot) ?? 0) + 1);
    for (const old of this.#slots.keys()) if (old <= slot - SLOTS) this.#slots.delete(old);
  }

  /** Answers with 429 since the start. */
  get limited(): number {
    return this.#limited;
  }

  /** Invalid requests since the start. */
  get invalid(): number {
    return this.#invalid;
  }

  /** Invalid requests in the last ten minutes. */
  get invalidLately(): number {
    const slot = this.#slot();
    return [...this.#slots].reduce((sum, [at, n]) => (at > slot - SLOTS ? sum + n : sum), 0);
  }

  #slot(): number {
    return Math.floor(this.#clock.monoMs() / (SPAN_MS / SLOTS));
  }
}
