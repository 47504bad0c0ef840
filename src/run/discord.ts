import { warmUp } from '../app/forecast/run.ts';
import { buildBot, type Ports } from '../bot.ts';
import { startDiscord } from '../chat/discord/client.ts';
import { discordWays } from '../chat/discord/deliver.ts';
import { pictures } from '../page/picture/pictures.ts';
import { printableSheet } from '../page/server/sheet-page.ts';
import type { Settings } from '../settings.ts';
import { startBoards } from './boards.ts';
import { startPage } from './page.ts';
import { stopSignal } from './stop.ts';
import { startWatch } from './watch.ts';

/** The bot on Discord until it is told to stop; what is under way is finished first. */
export async function runDiscord(ports: Ports, settings: Settings, token: string): Promise<void> {
  const stopped = stopSignal();
  // Filled as the parts come up; a post that comes before them is found by them at their start.
  const listeners: ((trip: string) => void)[] = [];
  const tellAll = (trip: string) => {
    for (const tell of listeners) tell(trip);
  };
  const app = buildBot({ ...ports, changed: tellAll });
  app.pictures = pictures;
  app.printSheet = printableSheet;
  await warmUp(app);
  const page = settings.TAGLINE_PAGE_URL === undefined ? undefined : await pageOf(app, settings);
  const chat = await startDiscord({
    app,
    token,
    apiUrl: settings.DISCORD_API_URL,
    guildForTrying: settings.DISCORD_GUILD,
  });
  const watch = await startWatch({
    app,
    settings,
    ways: discordWays(chat.outgoing),
    gateway: () => chat.health(),
  });
  const boards = await startBoards(app, chat.outgoing);
  listeners.push(
    () => watch.poke(),
    (trip) => boards.touch(trip),
  );
  watch.poke();
  ports.log.info('on Discord');
  const signal = await stopped;
  ports.log.info({ signal }, 'stopping');
  await watch.stop();
  await boards.close();
  await chat.close();
  await page?.close();
}

function pageOf(app: ReturnType<typeof buildBot>, settings: Settings) {
  return startPage({
    app,
    baseUrl: settings.TAGLINE_PAGE_URL,
    host: settings.TAGLINE_PAGE_HOST,
    port: settings.TAGLINE_PAGE_PORT,
    trustProxy: settings.TAGLINE_PAGE_PROXY === 'yes',
  });
}
