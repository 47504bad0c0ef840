import type { Clock } from '../time/clock.ts';
import type { HealthReport } from './health.ts';

/** Asks an address; resolves to the status, rejects when there is no answer. */
export type Ask = (url: string, signal: AbortSignal) => Promise<number>;

export interface HeartbeatParts {
  clock: Clock;
  report(): Promise<HealthReport>;
  ask: Ask;
  url: string;
  everyMs: number;
  log: { warn(fields: object, message: string): void };
}

const ANSWER_WITHIN_MS = 10_000;

/**
 * Tells a monitor elsewhere that all is well, and keeps still when it isn't: whoever listens raises
 * the alarm when it goes quiet, which also covers a machine that is gone. Runs until `signal` aborts.
 */
export async function beat(parts: HeartbeatParts, signal: AbortSignal): Promise<void> {
  while (!signal.aborted) {
    await once(parts).catch((error: unknown) => {
      parts.log.warn({ err: error }, 'the heartbeat did not go out');
    });
    await parts.clock.sleep(parts.everyMs, signal);
  }
}

async function once({ clock, report, ask, url, log }: HeartbeatParts): Promise<void> {
  const { ok } = await report();
  if (!ok) return;
  const late = new AbortController();
  const answered = new AbortController();
  const timer = clock.sleep(ANSWER_WITHIN_MS, answered.signal).then(() => late.abort());
  try {
    const status = await ask(url, late.signal);
    if (status >= 400) log.warn({ status }, 'the monitor refused the heartbeat');
  } finally {
    answered.abort();
    await timer;
  }
}

/** By the runtime's own fetch. */
export const fetchAsk: Ask = async (url, signal) => {
  const response = await fetch(url, { signal, redirect: 'error' });
  await response.body?.cancel();
  return response.status;
};
