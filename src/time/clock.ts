/**
 * The clock as a port. Wall time is for decisions and may jump; monotonic time is for measuring and
 * sleeping and never goes back. Built for real only in main.ts; tests and scripts move their own.
 */
export interface Clock {
  /** Milliseconds since the Unix epoch. */
  wallMs(): number;
  /** Milliseconds since some fixed moment of this process. */
  monoMs(): number;
  /** Resolves after `ms`, or at once when `signal` aborts. */
  sleep(ms: number, signal?: AbortSignal): Promise<void>;
}
