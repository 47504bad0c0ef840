import type { ServerResponse } from 'node:http';
import type { ApiResult } from './request.ts';

export interface Reply extends ApiResult {
  headers?: Record<string, string>;
}

export function reply(outgoing: ServerResponse, answer: Reply): void {
  if (answer.body === undefined) {
    outgoing.writeHead(answer.status, answer.headers).end();
    return;
  }
  const headers = { 'content-type': 'application/json', ...answer.headers };
  outgoing.writeHead(answer.status, headers).end(JSON.stringify(answer.body));
}

/** topics/rate-limits.mdx, Exceeding A Rate Limit. */
export function rateLimited(retryAfterS: number, scope: 'user' | 'global' | 'shared'): Reply {
  const global = scope === 'global';
  return {
    status: 429,
    headers: {
      'retry-after': String(retryAfterS),
      'x-ratelimit-scope': scope,
      ...(global
        ? { 'x-ratelimit-global': 'true' }
        : {
            'x-ratelimit-limit': '5',
            'x-ratelimit-remaining': '0',
            'x-ratelimit-reset-after': String(retryAfterS),
            'x-ratelimit-bucket': 'stand',
          }),
    },
    body: {
      message:
        scope === 'shared' ? 'The resource is being rate limited.' : 'You are being rate limited.',
      retry_after: retryAfterS,
      global,
    },
  };
}
