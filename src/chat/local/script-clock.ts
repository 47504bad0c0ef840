import type { Clock } from '../../time/clock.ts';

interface Sleeper {
  untilMs: number;
  wake(): void;
}

/** A clock that stands still until it is moved: a script's own time, or a test's. */
export class ScriptClock implements Clock {
  #nowMs: number;
  readonly #startMs: number;
  readonly #sleepers = new Set<Sleeper>();

  constructor(startMs: number) {
    this.#nowMs = startMs;
    this.#startMs = startMs;
  }

  wallMs(): number {
    return this.#nowMs;
  }

  monoMs(): number {
    return this.#nowMs - this.#startMs;
  }

  sleep(ms: number, signal?: AbortSignal): Promise<void> {
    if (ms <= 0 || signal?.aborted === true) return Promise.resolve();
    return new Promise((resolve) => {
      const sleeper: Sleeper = {
        untilMs: this.#nowMs + ms,
        wake: () => {
          this.#sleepers.delete(sleeper);
          signal?.removeEventListener('abort', sleeper.wake);
          resolve();
        },
      };
      this.#sleepers.add(sleeper);
      signal?.addEventListener('abort', sleeper.wake, { once: true });
    });
  }

  /** @throws RangeError when it would go back */
  moveTo(ms: number): void {
    if (ms < this.#nowMs) throw new RangeError('a script clock does not go back');
    this.#nowMs = ms;
    const awake = [...this.#sleepers].filter((s) => s.untilMs <= ms);
    for (const sleeper of awake.sort((a, b) => a.untilMs - b.untilMs)) sleeper.wake();
  }
}
