import type { FileArg } from '../../app/command.ts';
import { Refusal } from '../../say/refusal.ts';
import type { Clock } from '../../time/clock.ts';
import { tooLarge } from '../file-arg.ts';

const FETCH_LIMIT_MS = 10_000;

/** An attached file, fetched only when a command asks, up to its size and within ten seconds. */
export function discordFile(
  attached: { name: string; size: number; url: string },
  clock: Clock,
): FileArg {
  return {
    name: attached.name,
    size: attached.size,
    async bytes(maxBytes) {
      if (attached.size > maxBytes) throw tooLarge(attached.name, maxBytes);
      const stop = new AbortController();
      const done = new AbortController();
      const late = clock.sleep(FETCH_LIMIT_MS, done.signal).then(() => stop.abort());
      try {
        return await fetchBytes(attached, maxBytes, stop.signal);
      } catch (error) {
        if (error instanceof Refusal) throw error;
        throw new Refusal(
          'file-unreachable',
          `${attached.name} could not be fetched. Attach it once more.`,
        );
      } finally {
        done.abort();
        await late;
      }
    },
  };
}

async function fetchBytes(
  attached: { name: string; url: string },
  maxBytes: number,
  signal: AbortSignal,
): Promise<Uint8Array> {
  const response = await fetch(attached.url, { signal, redirect: 'error' });
  if (!response.ok || response.body === null) throw new Error(`status ${response.status}`);
  const parts: Uint8Array[] = [];
  let length = 0;
  // Counted while it comes in: the size that was announced is not a promise.
  for await (const part of response.body) {
    length += part.byteLength;
    if (length > maxBytes) throw tooLarge(attached.name, maxBytes);
    parts.push(part);
  }
  return Buffer.concat(parts);
}
