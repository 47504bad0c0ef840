import type { App } from '../app/app.ts';
import { warmUp } from '../app/forecast/run.ts';
import { buildBot, buildCore, type Ports } from '../bot.ts';
import { DiscordChat } from '../chat/discord/client.ts';
import { RequestCounts } from '../chat/discord/counts.ts';
import { discordWays } from '../chat/discord/deliver.ts';
import { createOutgoing } from '../chat/discord/outgoing.ts';
import { Pace } from '../chat/discord/pace.ts';
import { discordRest, openingRests } from '../chat/discord/rest.ts';
import { Surface } from '../chat/discord/surface.ts';
import { discordTime } from '../chat/discord/time.ts';
import type { Witness } from '../delivery/clocks.ts';
import { ownerName } from '../delivery/owner.ts';
import { isPushService, pushKeys } from '../delivery/push-keys.ts';
import { pictures } from '../page/picture/pictures.ts';
import { warmUpPictures } from '../page/picture/warm-up.ts';
import type { Settings } from '../settings.ts';
import { systemClock } from '../system/clock.ts';
import { keptForecasts } from '../system/forecasting/apart.ts';
import { systemReading } from '../system/reading/killable.ts';
import { Answering } from './answering.ts';
import { makeBoards } from './boards.ts';
import { mayConnect } from './connect-pace.ts';
import { openPage } from './page.ts';
import { pageSecret } from './page-secret.ts';
import { Parts } from './parts.ts';
import { stopSignal } from './stop.ts';
import { thisProcess } from './this-process.ts';
import { type RunningWatch, startWatch } from './watch.ts';

/** How long the end waits for messages that are on their way. */
const LAND_WITHIN_MS = 10_000;

/** The bot on Discord until it is told to stop; what is under way is finished first. */
export async function runDiscord(ports: Ports, settings: Settings, token: string): Promise<void> {
  const stopped = stopSignal();
  const witness = discordTime({ apiUrl: settings.DISCORD_API_URL });
  const bot = await startOnDiscord(ports, settings, token, witness);
  try {
    ports.log.info('the watch is up; connecting to Discord');
    bot.connected.then(
      () => ports.log.info('on Discord'),
      // The watch, mail and the page go on: a process that ends here would be started again and again.
      (error: Error) => ports.log.error(`${error.message} Commands are not answered until then.`),
    );
    ports.log.info({ signal: await stopped }, 'stopping');
  } finally {
    await bot.close();
  }
}

export interface BotOnDiscord {
  app: App;
  watch: RunningWatch;
  /** Where the status page listens, when there is one. */
  pageUrl?: string;
  /**
   * Resolves once commands are answered, or when the bot is closed before that. Rejects when Discord
   * refuses the token.
   */
  connected: Promise<void>;
  close(): Promise<void>;
}

/**
 * Everything there is to the bot, wired together. The watch, the page and the boards are up when it
 * resolves; the chat connects meanwhile, as none of them needs it. When a part can't be started,
 * those before it are stopped again.
 */
export async function startOnDiscord(
  ports: Ports,
  settings: Settings,
  token: string,
  witness?: Witness,
): Promise<BotOnDiscord> {
  const parts = new Parts();
  try {
    return {
      ...(await startParts(ports, settings, token, parts, witness)),
      close: () => parts.close(),
    };
  } catch (error) {
    await parts.close();
    throw error;
  }
}

async function startParts(
  ports: Ports,
  settings: Settings,
  token: string,
  parts: Parts,
  witness: Witness | undefined,
): Promise<Omit<BotOnDiscord, 'close'>> {
  const counts = new RequestCounts(ports.clock);
  // By the machine's time, as the library's own limits are: what it keeps up with is the network.
  const pace = new Pace(systemClock());
  const access = { token, apiUrl: settings.DISCORD_API_URL, counts, pace };
  const [off, landed] = [new AbortController(), new AbortController()];
  parts.add(async () => landed.abort());
  const surface = new Surface(ports.store, ports.log.child({ chat: 'discord' }));
  const openers = openingRests(access, off.signal);
  const outgoing = createOutgoing(discordRest(access, off.signal), surface, openers);
  const core = buildCore(ports, pictures, keptForecasts(ports.log));
  await warmUp(core);
  await warmUpPictures();
  const page = await pageOf(ports, settings);
  if (page !== undefined) parts.add(page.close);
  const self = thisProcess(ports.clock.wallMs());
  const board = makeBoards(core, outgoing, ownerName(self));
  parts.add(() => board.close());
  let watch: RunningWatch | undefined;
  const app = buildBot(core, {
    withoutMail: () => mailState(settings, watch),
    deafSinceMs: () => watch?.deafSinceMs(),
    board,
    keepDays: settings.TAGLINE_KEEP_DAYS,
    reading: systemReading(),
    pages: page?.links,
    phones: settings.TAGLINE_WEBHOOK_URL !== undefined,
    push: pushDoor(settings),
    ntfy: ntfyDoor(settings),
    secret: pageSecret(settings.TAGLINE_DATA),
    inbox: settings.TAGLINE_INBOX,
  });
  if (page !== undefined) parts.add((await page.serve(app)).close);
  const guildForTrying = settings.DISCORD_GUILD;
  const answering = new Answering(
    ports,
    ownerName(self),
    () =>
      new DiscordChat({
        ...access,
        app,
        outgoing,
        surface,
        guildForTrying,
        mayConnect: (signal) => mayConnect(ports, signal),
      }),
  );
  const gateway = () => ({ ...answering.health(), requests: counts });
  watch = await startWatch({
    app,
    self,
    settings,
    ways: discordWays(outgoing),
    gateway,
    witness,
  });
  parts.add(watch.stop);
  // What is on its way lands, or is given up after a while and sent after the next start.
  parts.add(async () => {
    void ports.clock.sleep(LAND_WITHIN_MS, landed.signal).then(() => off.abort());
  });
  await board.start();
  const connected = answering.start();
  parts.add(() => answering.close());
  // Whoever closes the bot without having looked at it must not be ended by it.
  connected.catch(() => {});
  return { app, watch, connected, ...(page === undefined ? {} : { pageUrl: page.url }) };
}

function mailState(settings: Settings, watch: RunningWatch | undefined) {
  if (settings.SMTP_HOST === undefined) return 'none';
  return watch?.mailRefused() === true ? 'refused' : undefined;
}

/** Browsers take push messages from pages over TLS only. */
function pushDoor({ TAGLINE_PAGE_URL: url, TAGLINE_DATA: data }: Settings): App['push'] {
  if (url === undefined || !url.startsWith('https:')) return undefined;
  const { publicKey } = pushKeys(pageSecret(data));
  return { publicKey, takes: isPushService };
}

/** A topic is named on a contact's own page. */
function ntfyDoor({ TAGLINE_PAGE_URL: url, TAGLINE_NTFY_SERVERS: servers }: Settings): App['ntfy'] {
  return url === undefined || servers === undefined ? undefined : { servers };
}

async function pageOf({ store }: Ports, settings: Settings) {
  if (settings.TAGLINE_PAGE_URL === undefined) return undefined;
  return openPage({
    store,
    baseUrl: settings.TAGLINE_PAGE_URL,
    host: settings.TAGLINE_PAGE_HOST,
    port: settings.TAGLINE_PAGE_PORT,
    secret: pageSecret(settings.TAGLINE_DATA),
    trustProxy: settings.TAGLINE_PAGE_PROXY === 'yes',
  });
}
