import { DiscordAPIError, HTTPError } from 'discord.js';
import { describe, expect, it } from 'vitest';
import { verdictOf } from '../../../src/chat/discord/api-errors.ts';

const api = (code: number, status: number) =>
  new DiscordAPIError({ code, message: 'x' }, code, status, 'POST', 'http://127.0.0.1/x', {});

// Codes: Discord's published list, topics/opcodes-and-status-codes.mdx.
describe('what to do when Discord refuses', () => {
  it.each([
    [10003, 404, 'never', 'other-way'],
    [10008, 404, 'never', 'new-message'],
    [10062, 404, 'never', 'channel'],
    [40003, 400, 'later', 'none'],
    [40005, 413, 'never', 'no-files'],
    [40060, 400, 'never', 'none'],
    [50001, 403, 'never', 'other-way'],
    [50007, 403, 'never', 'other-way'],
    [50013, 403, 'never', 'other-way'],
    [50027, 401, 'never', 'channel'],
    [50035, 400, 'never', 'bare-text'],
    [50083, 400, 'never', 'other-way'],
    [50278, 400, 'never', 'other-way'],
    [30034, 400, 'later', 'none'],
    [999_999, 500, 'later', 'none'],
    [999_999, 401, 'never', 'none'],
    [999_999, 403, 'never', 'other-way'],
    [999_999, 418, 'never', 'bare-text'],
  ])('code %i with status %i: %s, %s', (code, status, retry, fallback) => {
    expect(verdictOf(api(code, status))).toMatchObject({ retry, fallback });
  });

  it('tries again after a bad gateway, a timeout or a cut line', () => {
    const gateway = new HTTPError(502, 'Bad Gateway', 'POST', 'http://127.0.0.1/x', {});
    expect(verdictOf(gateway)).toMatchObject({ retry: 'later', why: 'server-error' });
    expect(verdictOf(new Error('ECONNRESET'))).toMatchObject({ retry: 'later', why: 'network' });
  });
});
