import type { Clock } from '../time/clock.ts';

/** Timers over 2^31 − 1 ms fire at once; longer sleeps are cut, and the sleeper looks again. */
const LONGEST_MS = 2 ** 31 - 1;

/** The machine's own clocks. The only place that reads them. */
export function systemClock(): Clock {
  return {
    wallMs: () => Date.now(),
    monoMs: () => performance.now(),
    sleep: (ms, signal) =>
      new Promise((resolve) => {
        if (signal?.aborted) return resolve();
        // No time at all: others get their turn, without a timer's least millisecond.
        if (ms <= 0) return setImmediate(resolve);
        const wake = () => {
          clearTimeout(timer);
          signal?.removeEventListener('abort', wake);
          resolve();
        };
        const timer = setTimeout(wake, Math.min(Math.max(0, ms), LONGEST_MS));
        signal?.addEventListener('abort', wake, { once: true });
      }),
  };
}
