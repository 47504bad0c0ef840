import type { FileArg } from '../../app/command.ts';
import { Refusal } from '../../say/refusal.ts';
import type { Clock } from '../../time/clock.ts';
import { tooLarge } from '../file-arg.ts';

const FETCH_LIMIT_MS = 10_000;

/** Where Discord keeps what is attached. */
const HOSTS: readonly string[] = ['cdn.discordapp.com', 'media.discordapp.net'];

/** Whether an address is Discord's own for files; what stands in for Discord brings them from where it is. */
function isPlatforms(address: string, api: string): boolean {
  if (!URL.canParse(address)) return false;
  const [file, own] = [new URL(address), new URL(api)];
  if (own.hostname !== 'discord.com') return file.origin === own.origin;
  return file.protocol === 'https:' && HOSTS.includes(file.host);
}

/**
 * An attached file, fetched only when a command asks, from the platform's own hosts, up to its size and
 * within ten seconds.
 *
 * @param api base address of the platform's interface
 */
export function discordFile(
  attached: { name: string; size: number; url: string },
  clock: Clock,
  api: string,
): FileArg {
  return {
    name: attached.name,
    size: attached.size,
    async bytes(maxBytes) {
      if (attached.size > maxBytes) throw tooLarge(attached.name, maxBytes);
      if (!isPlatforms(attached.url, api)) {
        throw new Refusal(
          'file-unreachable',
          `${attached.name} is not kept by Discord, so it was not fetched. Attach the file itself.`,
        );
      }
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
