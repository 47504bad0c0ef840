import { buildBot, type Ports } from '../bot.ts';
import { startDiscord } from '../chat/discord/client.ts';
import { discordWays } from '../chat/discord/deliver.ts';
import type { Settings } from '../settings.ts';
import { stopSignal } from './stop.ts';
import { type RunningWatch, startWatch } from './watch.ts';

/** The bot on Discord until it is told to stop; what is under way is finished first. */
export async function runDiscord(ports: Ports, settings: Settings, token: string): Promise<void> {
  const stopped = stopSignal();
  let watch: RunningWatch | undefined;
  const app = buildBot({ ...ports, changed: () => watch?.poke() });
  const chat = await startDiscord({
    app,
    token,
    apiUrl: settings.DISCORD_API_URL,
    guildForTrying: settings.DISCORD_GUILD,
  });
  watch = await startWatch({
    app,
    settings,
    ways: discordWays(chat.outgoing),
    gateway: () => chat.health(),
  });
  ports.log.info('on Discord');
  const signal = await stopped;
  ports.log.info({ signal }, 'stopping');
  await watch.stop();
  await chat.close();
}
