import type { App } from '../app/app.ts';
import type { BoardKeeper } from '../app/board/keeper.ts';
import { warmUp } from '../app/forecast/run.ts';
import { buildBot, type Ports } from '../bot.ts';
import { startDiscord } from '../chat/discord/client.ts';
import { discordWays } from '../chat/discord/deliver.ts';
import { pictures } from '../page/picture/pictures.ts';
import { warmUpPictures } from '../page/picture/warm-up.ts';
import { printableSheet } from '../page/server/sheet-page.ts';
import type { Settings } from '../settings.ts';
import { makeBoards } from './boards.ts';
import { startPage } from './page.ts';
import { stopSignal } from './stop.ts';
import { type RunningWatch, startWatch } from './watch.ts';

/** The bot on Discord until it is told to stop; what is under way is finished first. */
export async function runDiscord(ports: Ports, settings: Settings, token: string): Promise<void> {
  const stopped = stopSignal();
  const bot = await startOnDiscord(ports, settings, token);
  ports.log.info('on Discord');
  const signal = await stopped;
  ports.log.info({ signal }, 'stopping');
  await bot.close();
}

export interface BotOnDiscord {
  app: App;
  watch: RunningWatch;
  /** Where the status page listens, when there is one. */
  pageUrl?: string;
  close(): Promise<void>;
}

/**
 * Everything there is to the bot, wired together and logged in. When a part can't be started, those
 * before it are stopped again.
 */
export async function startOnDiscord(
  ports: Ports,
  settings: Settings,
  token: string,
): Promise<BotOnDiscord> {
  const parts: Closing[] = [];
  try {
    return { ...(await startParts(ports, settings, token, parts)), close: () => closeAll(parts) };
  } catch (error) {
    await closeAll(parts);
    throw error;
  }
}

type Closing = () => Promise<void>;

async function startParts(
  ports: Ports,
  settings: Settings,
  token: string,
  parts: Closing[],
): Promise<Omit<BotOnDiscord, 'close'>> {
  let boards: BoardKeeper | undefined;
  let watch: RunningWatch | undefined;
  const app = buildBot({
    ...ports,
    changed(trip) {
      // A post that comes before the watch is up is found by it at its start.
      watch?.poke();
      boards?.touch(trip);
    },
  });
  app.withoutMail = settings.SMTP_HOST === undefined;
  app.pictures = pictures;
  app.printSheet = printableSheet;
  await warmUp(app);
  await warmUpPictures();
  const page = settings.TAGLINE_PAGE_URL === undefined ? undefined : await pageOf(app, settings);
  if (page !== undefined) parts.push(page.close);
  const chat = await startDiscord({
    app,
    token,
    apiUrl: settings.DISCORD_API_URL,
    guildForTrying: settings.DISCORD_GUILD,
    prepare(outgoing) {
      boards = makeBoards(app, outgoing);
    },
  });
  parts.push(chat.close);
  parts.push(async () => boards?.close());
  watch = await startWatch({
    app,
    settings,
    ways: discordWays(chat.outgoing),
    gateway: () => chat.health(),
  });
  parts.push(watch.stop);
  await boards?.start();
  return { app, watch, ...(page === undefined ? {} : { pageUrl: page.url }) };
}

/** The last first: what needs others ends before them. */
async function closeAll(parts: readonly Closing[]): Promise<void> {
  for (const close of [...parts].reverse()) await close();
}

function pageOf(app: App, settings: Settings) {
  return startPage({
    app,
    baseUrl: settings.TAGLINE_PAGE_URL,
    host: settings.TAGLINE_PAGE_HOST,
    port: settings.TAGLINE_PAGE_PORT,
    trustProxy: settings.TAGLINE_PAGE_PROXY === 'yes',
  });
}
