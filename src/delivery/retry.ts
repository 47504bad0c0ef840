const MINUTE_MS = 60_000;

/** Waits after the first, second… failure; the last one goes on. Engineering choice. */
const WAITS_MS = [5_000, 15_000, 45_000, 2 * MINUTE_MS, 5 * MINUTE_MS, 10 * MINUTE_MS] as const;

/** Longest wait another server may ask for: for distress, for an alert, and for all else. Engineering choice. */
const ASKED_MAX_MS = [MINUTE_MS, 5 * MINUTE_MS, 15 * MINUTE_MS] as const;

/**
 * How long to wait after `failures` failures in a row, at least as long as the other side asked for, within what
 * the notice's urgency bears.
 * Up to a quarter is added, by the notice's own nonce, so that many notices that failed together
 * don't come back together, and a restart doesn't change when.
 */
export function backOffMs(failures: number, nonce: string, askedMs = 0, urgency = 5): number {
  const waitMs = WAITS_MS[Math.min(failures, WAITS_MS.length) - 1] ?? WAITS_MS[0];
  const most = ASKED_MAX_MS[Math.min(urgency, 2)] ?? ASKED_MAX_MS[2];
  const asked = Math.min(Math.max(askedMs, 0), most);
  return Math.max(waitMs, asked) * (1 + spread(nonce) / 4);
}

/** A number in [0, 1) that depends on the text alone (FNV-1a, 32 bit). */
function spread(text: string): number {
  let hash = 0x811c9dc5;
  for (const char of text) hash = Math.imul(hash ^ (char.codePointAt(0) ?? 0), 0x01000193);
  return (hash >>> 0) / 2 ** 32;
}

/** How long another server asks to be left alone (RFC 9110, 10.2.3: seconds or a date); undefined when it doesn't. */
export function retryAfterMs(header: string | null | undefined, nowMs: number): number | undefined {
  if (header === null || header === undefined) return undefined;
  const text = header.trim();
  if (/^\d{1,9}$/u.test(text)) return Number(text) * 1000;
  const atMs = Date.parse(text);
  return Number.isNaN(atMs) ? undefined : Math.max(0, atMs - nowMs);
}
