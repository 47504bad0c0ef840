import { DefaultRestOptions, type RateLimitData, REST, type RESTOptions } from 'discord.js';
import type { RequestCounts } from './counts.ts';
import type { Pace } from './pace.ts';

export interface Access {
  token: string;
  /** Another base address than Discord's own, such as `http://127.0.0.1:8080/api`. */
  apiUrl?: string | undefined;
  /** Where requests that Discord refused are counted. */
  counts?: RequestCounts | undefined;
  /** Shared by all who make requests with this token. */
  pace?: Pace | undefined;
  /** How long the answer to a request is waited for; the library's own 15 s when left out. */
  timeoutMs?: number | undefined;
}

/**
 * A limit that lasts longer is handed back instead of waited for: while the library waits, everything
 * behind it waits too, and what was given up meanwhile would still go out in the end. Engineering choice.
 */
const PARKED_MS = 5_000;

/** Requests with the bot's token, without a gateway: for what is sent unasked. They end when `off` aborts. */
export function discordRest(access: Access, off?: AbortSignal): REST {
  return new REST(restOptions(access, off)).setToken(access.token);
}

/**
 * The library sends requests to one address one after the other, and opening a direct message with anybody is one
 * address: with many to tell at once each would wait for all others. So openings have several queues; `pace` keeps
 * them and everything else within the bot's limit.
 */
const OPENERS = 12;

/** For opening direct messages, taken in turn. */
export function openingRests(access: Access, off?: AbortSignal): readonly REST[] {
  return Array.from({ length: OPENERS }, () => discordRest(access, off));
}

/** A header that says how urgent a request is, as a notice has it. It goes no further than to `Pace`. */
const URGENCY = 'urgency';

/** Headers of a request that is this urgent. */
export function urgent(urgency: number | undefined): { headers?: Record<string, string> } {
  return urgency === undefined ? {} : { headers: { [URGENCY]: String(urgency) } };
}

/** Requests end when `off` aborts, so that one that hangs does not hold the process. */
export function restOptions(
  { apiUrl, counts, pace, timeoutMs }: Omit<Access, 'token'>,
  off?: AbortSignal,
): Partial<RESTOptions> {
  const makeRequest: RESTOptions['makeRequest'] = async (url, init) => {
    const signals = [init.signal, off].filter((signal) => signal != null);
    const signal = AbortSignal.any(signals);
    const { [URGENCY]: urgency, ...headers } = init.headers as Record<string, string>;
    await pace?.turn(String(url), { signal, ...(urgency && { urgency: Number(urgency) }) });
    const response = await DefaultRestOptions.makeRequest(url, { ...init, headers, signal });
    counts?.answered(response.status, response.headers.get('x-ratelimit-scope'));
    return response;
  };
  return {
    makeRequest,
    ...(timeoutMs === undefined ? {} : { timeout: timeoutMs }),
    // Registering the commands holds up nothing else, and is tried once a start: it waits.
    rejectOnRateLimit: ({ retryAfter, route }: RateLimitData) =>
      retryAfter > PARKED_MS && !route.startsWith('/applications/'),
    ...(apiUrl === undefined ? {} : { api: apiUrl.replace(/\/+$/u, '') }),
  };
}
