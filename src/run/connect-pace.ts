import type { Store } from '../store/port.ts';
import type { Clock } from '../time/clock.ts';

const HOUR_MS = 3_600_000;
/** So often in an hour it connects at once. Engineering choice. */
const AT_ONCE = 5;
/**
 * After that it waits as long from one time to the next: 720 a day, below the 1,000 that the platform
 * allows before it takes the token away (Discord's documentation of the gateway, "Session Start Limit").
 */
const APART_MS = 2 * 60_000;

const FACT = 'chat.connecting';

/** When to connect, given when it was tried before; epoch milliseconds. Times ahead of now are a clock set back. */
export function connectAtMs(before: readonly number[], nowMs: number): number {
  const lately = before.filter((ms) => ms <= nowMs && nowMs - ms < HOUR_MS);
  if (lately.length < AT_ONCE) return nowMs;
  return Math.max(nowMs, Math.max(...lately) + APART_MS);
}

interface Parts {
  store: Pick<Store, 'getFact' | 'swapFact'>;
  clock: Clock;
}

/**
 * Waits until it may be connected, over restarts, and notes that it is: a process that ends and is
 * started anew, again and again, must not use up what the platform allows. The watch is up meanwhile.
 *
 * @returns false when `signal` aborted before
 */
export async function mayConnect({ store, clock }: Parts, signal: AbortSignal): Promise<boolean> {
  for (;;) {
    const nowMs = clock.wallMs();
    const was = await store.getFact(FACT);
    const before = read(was);
    const atMs = connectAtMs(before, nowMs);
    if (atMs > nowMs) await clock.sleep(atMs - nowMs, signal);
    if (signal.aborted) return false;
    const times = [...before, clock.wallMs()].slice(-2 * AT_ONCE);
    // Another process may have connected meanwhile: its turn counts too.
    if (await store.swapFact(FACT, was, JSON.stringify(times))) return true;
  }
}

function read(text: string | undefined): number[] {
  const times: unknown = JSON.parse(text ?? '[]');
  return Array.isArray(times) ? times.filter((ms) => typeof ms === 'number') : [];
}
