import { buildBot, type Ports } from '../bot.ts';
import { startDiscord } from '../chat/discord/client.ts';
import type { Settings } from '../settings.ts';
import { stopSignal } from './stop.ts';

/** The bot on Discord until it is told to stop; what is under way is finished first. */
export async function runDiscord(ports: Ports, settings: Settings, token: string): Promise<void> {
  const stopped = stopSignal();
  const chat = await startDiscord({
    app: buildBot(ports),
    token,
    apiUrl: settings.DISCORD_API_URL,
    guildForTrying: settings.DISCORD_GUILD,
  });
  ports.log.info('on Discord');
  const signal = await stopped;
  ports.log.info({ signal }, 'stopping');
  await chat.close();
}
