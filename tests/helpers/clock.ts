import type { Clock } from '../../src/time/clock.ts';

interface Sleeper {
  untilMono: number;
  wake: () => void;
}

/** A clock that stands still until it is moved; wall time may be set apart from monotonic time. */
export class ManualClock implements Clock {
  #wall = 0;
  #mono = 0;
  #sleepers: Sleeper[] = [];

  wallMs(): number {
    return this.#wall;
  }

  monoMs(): number {
    return this.#mono;
  }

  sleep(ms: number, signal?: AbortSignal): Promise<void> {
    if (signal?.aborted) return Promise.resolve();
    // No time at all has passed already; others get their turn, as with the machine's own clock.
    if (ms <= 0) return new Promise((resolve) => setImmediate(resolve));
    return new Promise((resolve) => {
      const sleeper: Sleeper = { untilMono: this.#mono + ms, wake: resolve };
      this.#sleepers.push(sleeper);
      signal?.addEventListener('abort', () => this.#wake(sleeper), { once: true });
    });
  }

  /** Wall time jumps, as when somebody sets the clock; nobody wakes. */
  set(wallMs: number): void {
    this.#wall = wallMs;
  }

  /** Time passes; sleepers whose time has come wake in order. */
  advance(ms: number): void {
    this.#wall += ms;
    this.#mono += ms;
    const due = this.#sleepers.filter((s) => s.untilMono <= this.#mono);
    for (const sleeper of due.sort((a, b) => a.untilMono - b.untilMono)) this.#wake(sleeper);
  }

  /** How many sleep; a test can check that nothing was left behind. */
  get sleeping(): number {
    return this.#sleepers.length;
  }

  #wake(sleeper: Sleeper): void {
    this.#sleepers = this.#sleepers.filter((s) => s !== sleeper);
    sleeper.wake();
  }
}
