import { DiscordAPIError, HTTPError, RateLimitError } from 'discord.js';

/**
 * What to do when Discord refuses, in one table. Codes are from its published list,
 * topics/opcodes-and-status-codes.mdx. `later` means the same request may succeed on its own;
 * `never` means that trying it again is in vain and the fallback is to be taken at once.
 */
export interface ApiVerdict {
  /** One word for the log, the metric and the test. */
  why: string;
  retry: 'later' | 'never';
  /** How long Discord wants no other try, where it says so. */
  afterMs?: number;
  fallback:
    | 'none'
    /** Tell it in another channel or by another way. */
    | 'other-way'
    /** Send without files. */
    | 'no-files'
    /** Send bare text: something of the form was refused. */
    | 'bare-text'
    /** Send a new message instead of changing one. */
    | 'new-message'
    /** The interaction can't be answered; a change is told in its channel. */
    | 'channel';
}

const never = (why: string, fallback: ApiVerdict['fallback']): ApiVerdict => ({
  why,
  retry: 'never',
  fallback,
});
const later = (why: string): ApiVerdict => ({ why, retry: 'later', fallback: 'none' });

const BY_CODE: Readonly<Record<number, ApiVerdict>> = {
  10003: never('unknown-channel', 'other-way'),
  10004: never('unknown-guild', 'other-way'),
  10008: never('unknown-message', 'new-message'),
  10013: never('unknown-user', 'other-way'),
  10015: never('unknown-webhook', 'channel'),
  10062: never('token-dead', 'channel'),
  20016: later('slow-mode'),
  20028: later('channel-write-rate'),
  30003: never('pins-full', 'none'),
  30034: later('daily-creates-used'),
  40003: later('direct-messages-too-fast'),
  40005: never('file-too-large', 'no-files'),
  40060: never('already-answered', 'none'),
  40094: never('follow-ups-used', 'channel'),
  50001: never('no-access', 'other-way'),
  50005: never('not-our-message', 'new-message'),
  50007: never('direct-messages-closed', 'other-way'),
  50008: never('not-a-text-channel', 'other-way'),
  50013: never('no-permission', 'other-way'),
  50027: never('token-expired', 'channel'),
  50035: never('form-refused', 'bare-text'),
  50083: never('thread-archived', 'other-way'),
  50278: never('no-shared-server', 'other-way'),
  130000: later('overloaded'),
  160005: never('thread-locked', 'other-way'),
};

/** Codes that say the channel or person can't be reached, for a test to hold against the table. */
export const KNOWN_CODES = Object.keys(BY_CODE).map(Number);

/** Any error of a Discord request; a network error or something unheard of is worth another try. */
export function verdictOf(error: unknown): ApiVerdict {
  if (error instanceof DiscordAPIError) {
    const known = BY_CODE[Number(error.code)];
    if (known !== undefined) return known;
    return byStatus(error.status, `api-${error.code}`);
  }
  if (error instanceof HTTPError) return byStatus(error.status, `http-${error.status}`);
  if (error instanceof RateLimitError) {
    return { ...later('rate-limited'), afterMs: error.retryAfter };
  }
  return later('network');
}

function byStatus(status: number, why: string): ApiVerdict {
  if (status === 429) return later('rate-limited');
  if (status >= 500) return later('server-error');
  if (status === 401) return never('token-refused', 'none');
  if (status === 403) return never('forbidden', 'other-way');
  if (status === 413) return never('file-too-large', 'no-files');
  if (status === 404) return never('not-found', 'other-way');
  return never(why, 'bare-text');
}
