import type { Clock } from '../time/clock.ts';

/** Wall and monotonic time may drift apart by this much between two looks before it is a jump. */
export const JUMP_MS = 60_000;

export interface Look {
  wallMs: number;
  monoMs: number;
}

/**
 * Time for waiting between attempts: goes with the wall clock, but never back. A wall clock set back
 * would otherwise leave what is to be tried "in a minute" waiting for hours.
 */
export class ForwardTime {
  readonly #clock: Clock;
  #at: Look;

  constructor(clock: Clock) {
    this.#clock = clock;
    this.#at = { wallMs: clock.wallMs(), monoMs: clock.monoMs() };
  }

  nowMs(): number {
    const monoMs = this.#clock.monoMs();
    const goneMs = this.#at.wallMs + Math.max(0, monoMs - this.#at.monoMs);
    this.#at = { wallMs: Math.max(this.#clock.wallMs(), goneMs), monoMs };
    // Whole, because a monotonic clock has fractions and a database's times have none.
    return Math.floor(this.#at.wallMs);
  }

  /** As far as another run of the watch had got on the same database. */
  raiseTo(ms: number): void {
    const nowMs = this.nowMs();
    if (ms > nowMs) this.#at = { wallMs: ms, monoMs: this.#clock.monoMs() };
  }
}
