import type { Clock } from '../../time/clock.ts';
import type { AskJson } from './services.ts';

/** An answer of ten days by the hour is a tenth of that. */
const BYTES_MOST = 2_000_000;
const ANSWER_WITHIN_MS = 15_000;

/**
 * Asks one service, and no other host: neither by a redirect nor by an address that it names. An answer that is late
 * or too large is given up.
 *
 * @param agent who asks, with a contact, as the services want it
 */
export function askOf(host: string, agent: string, clock: Clock, ended: AbortSignal): AskJson {
  const own = new URL(host).origin;
  return async (url) => {
    if (new URL(url).origin !== own) throw new Error(`another host than ${own} was named`);
    const [late, answered] = [new AbortController(), new AbortController()];
    const stop = () => late.abort();
    ended.addEventListener('abort', stop, { once: true });
    const timer = clock.sleep(ANSWER_WITHIN_MS, answered.signal).then(stop);
    try {
      const response = await fetch(url, {
        signal: late.signal,
        redirect: 'error',
        headers: { 'user-agent': agent, accept: 'application/json, application/geo+json' },
      });
      if (!response.ok) {
        await response.body?.cancel();
        throw new Error(`answered ${response.status}`);
      }
      return JSON.parse(await bounded(response)) as unknown;
    } finally {
      ended.removeEventListener('abort', stop);
      answered.abort();
      await timer;
    }
  };
}

async function bounded(response: Response): Promise<string> {
  const parts: Uint8Array[] = [];
  let bytes = 0;
  for await (const part of response.body ?? []) {
    bytes += part.length;
    if (bytes > BYTES_MOST) throw new Error('the answer is too large');
    parts.push(part);
  }
  return Buffer.concat(parts).toString('utf8');
}
