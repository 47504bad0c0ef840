import { request as requestPlain } from 'node:http';
import { request as requestTls } from 'node:https';
import type { Clock } from '../time/clock.ts';
import { lookupPublic } from './public-only.ts';

/** What another server answered, or why nothing came: `slow` or `lost`. */
export type Answer = { status: number; retryAfter: string | undefined } | { failed: string };

/** One request to an address that somebody else named. */
export interface Post {
  url: URL;
  headers: Readonly<Record<string, string>>;
  body: string | Buffer;
  /** Connects to this machine as well: for tests. */
  loopback?: boolean;
}

/**
 * One POST. It never connects to an address of this machine or its network, a redirect is not followed, and nothing
 * of the answer but its head is read.
 */
export function posted(
  { url, headers, body, loopback = false }: Post,
  clock: Clock,
  patienceMs: number,
): Promise<Answer> {
  const [over, answered] = [new AbortController(), new AbortController()];
  void clock.sleep(patienceMs, answered.signal).then(() => over.abort());
  return new Promise<Answer>((resolve) => {
    const send = url.protocol === 'http:' ? requestPlain : requestTls;
    const request = send(
      url,
      {
        method: 'POST',
        headers,
        signal: over.signal,
        ...(loopback ? {} : { lookup: lookupPublic }),
      },
      (response) => {
        response.destroy();
        const retryAfter = response.headers['retry-after'];
        resolve({ status: response.statusCode ?? 0, retryAfter });
      },
    );
    request.on('error', () => resolve({ failed: over.signal.aborted ? 'slow' : 'lost' }));
    request.end(body);
  }).finally(() => answered.abort());
}
