import { DefaultRestOptions } from 'discord.js';
import type { Witness } from '../../delivery/clocks.ts';
import type { Access } from './rest.ts';

/**
 * Discord's own time: the Date of an answer (RFC 9110, 6.6.1), of whatever kind. Asked without the token, so
 * that it counts against none of the bot's limits.
 */
export function discordTime({ apiUrl = DefaultRestOptions.api }: Pick<Access, 'apiUrl'>): Witness {
  const url = `${apiUrl.replace(/\/+$/u, '')}/v10/gateway`;
  return {
    async ask(signal) {
      const response = await fetch(url, { signal, redirect: 'error' });
      await response.body?.cancel();
      const dateMs = Date.parse(response.headers.get('date') ?? '');
      return Number.isNaN(dateMs) ? undefined : dateMs;
    },
  };
}
