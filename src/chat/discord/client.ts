import type { EventEmitter } from 'node:events';
import {
  Client,
  DefaultRestOptions,
  Events,
  GatewayIntentBits,
  REST,
  type RESTOptions,
} from 'discord.js';
import type { App } from '../../app/app.ts';
import { Rates } from '../../app/rates.ts';
import type { AnswerTools } from './answer.ts';
import { commandsJson } from './definitions.ts';
import { type Health, Pulse, remedyOf } from './health.ts';
import { handle } from './interactions.ts';
import type { Outgoing } from './outgoing.ts';
import { register } from './register.ts';

export interface Access {
  token: string;
  /** Another base address than Discord's own, such as `http://127.0.0.1:8080/api`. */
  apiUrl?: string | undefined;
}

/** Requests with the bot's token, without a gateway: for what is sent unasked. They end when `off` aborts. */
export function discordRest({ token, apiUrl }: Access, off?: AbortSignal): REST {
  return new REST(restAt(apiUrl, off)).setToken(token);
}

export interface DiscordSettings extends Access {
  app: App;
  /** What sends messages that nobody asked for. */
  outgoing: Outgoing;
  /** Registers the commands in this server only, where they appear at once. */
  guildForTrying?: string | undefined;
  /** An answer slower than this is announced first. */
  deferAfterMs?: number;
  /** How long `close` waits for answers under way. */
  closeWithinMs?: number;
}

/** Discord would not let us in; the message is fit for a terminal and holds no secret. */
export class DiscordStartError extends Error {
  /** Another try may succeed by itself. */
  readonly passing: boolean;
  /** How long Discord wants no other try. */
  readonly notBeforeMs: number;

  constructor(
    message: string,
    {
      passing,
      notBeforeMs = 0,
      ...options
    }: ErrorOptions & { passing: boolean; notBeforeMs?: number },
  ) {
    super(message, options);
    this.name = 'DiscordStartError';
    this.passing = passing;
    this.notBeforeMs = notBeforeMs;
  }
}

/**
 * Between tries to reach Discord at the start. The last goes on, and is long: each may count as a login, and
 * after 1,000 in a day Discord resets the token (events/gateway.mdx, Session Start Limit).
 */
const AGAIN_MS = [5_000, 15_000, 30_000, 60_000, 120_000, 300_000] as const;
const AGAIN_MAX_MS = 24 * 3_600_000;

/** Answers on Discord, from `connect` to `close`. */
export class DiscordChat {
  readonly #settings: DiscordSettings;
  readonly #log: App['log'];
  readonly #tools: AnswerTools;
  readonly #underWay = new Set<Promise<void>>();
  /** Aborted once the last answer is out. */
  readonly #off = new AbortController();
  #closing = false;
  #refused: string | undefined;
  #line: Line;

  constructor(settings: DiscordSettings) {
    const { app, outgoing, deferAfterMs = 800 } = settings;
    this.#settings = settings;
    this.#log = app.log.child({ chat: 'discord' });
    this.#tools = {
      ...{ clock: app.clock, log: this.#log, outgoing, deferAfterMs },
      rates: new Rates(),
    };
    this.#line = this.#newLine();
  }

  /**
   * Logs in, registers the commands when they changed, and answers from then on. Tries again while
   * Discord can't be reached. Resolves without a connection when `close` is called meanwhile.
   *
   * @throws DiscordStartError when Discord refuses the token
   */
  async connect(): Promise<void> {
    const { app, token } = this.#settings;
    for (let failures = 0; !this.#closing; failures++) {
      try {
        await login(this.#line, token, this.#off.signal, app.clock.wallMs());
        break;
      } catch (error) {
        if (this.#closing) return;
        if (!(error instanceof DiscordStartError) || !error.passing) {
          this.#refused ??= (error as Error).message;
          throw error;
        }
        const stepMs = AGAIN_MS[Math.min(failures, AGAIN_MS.length - 1)] as number;
        const afterMs = Math.max(stepMs, Math.min(error.notBeforeMs, AGAIN_MAX_MS));
        this.#log.warn({ afterMs }, `${error.message} Trying again.`);
        await app.clock.sleep(afterMs, this.#off.signal);
        const { pulse } = this.#line;
        this.#line = this.#newLine();
        this.#line.pulse.lostSince(pulse);
      }
    }
    const { client } = this.#line;
    if (this.#closing) return client.destroy();
    await registerAll(client, this.#settings).catch((error: unknown) => {
      // The old definitions still work; a bot without answers would be worse.
      if (!this.#closing) this.#log.error({ err: error }, 'commands could not be registered');
    });
  }

  health(): Health {
    const health = this.#line.pulse.health(this.#underWay.size);
    return this.#refused === undefined ? health : { ...health, refused: this.#refused };
  }

  /** Takes nothing new, finishes what is under way, leaves the gateway or the way to it. */
  async close(): Promise<void> {
    const { app, closeWithinMs = 10_000 } = this.#settings;
    this.#closing = true;
    const done = new AbortController();
    await Promise.race([
      Promise.allSettled([...this.#underWay]),
      app.clock.sleep(closeWithinMs, done.signal),
    ]);
    done.abort();
    this.#off.abort();
    await this.#line.client.destroy();
  }

  #newLine(): Line {
    const { app, apiUrl } = this.#settings;
    const client = newClient(apiUrl, this.#off.signal);
    const pulse = new Pulse(client, app.clock);
    // Once and before the login: listeners added when ready would be added again at every reconnect.
    client.on(Events.InteractionCreate, (interaction) => {
      const work = handle(app, interaction, this.#tools, this.#closing).finally(() =>
        this.#underWay.delete(work),
      );
      this.#underWay.add(work);
    });
    listen(client, this.#log, pulse);
    const fatal = new Promise<DiscordStartError>((resolve) => {
      client.on(Events.ShardDisconnect, ({ code }) => {
        const remedy = remedyOf(code);
        if (remedy === undefined || this.#closing) return;
        this.#refused = remedy;
        this.#log.error({ code }, remedy);
        resolve(new DiscordStartError(remedy, { passing: false }));
      });
    });
    return { client, pulse, fatal };
  }
}

/** A client that failed to log in is of no more use: each try has its own. */
interface Line {
  client: Client;
  pulse: Pulse;
  /** Resolves when Discord closes for good. */
  fatal: Promise<DiscordStartError>;
}

/** Requests end when `off` aborts, so that one that hangs does not hold the process. */
function restAt(apiUrl: string | undefined, off?: AbortSignal): Partial<RESTOptions> {
  const makeRequest: RESTOptions['makeRequest'] = (url, init) => {
    const signals = [init.signal, off].filter((signal) => signal != null);
    return DefaultRestOptions.makeRequest(url, { ...init, signal: AbortSignal.any(signals) });
  };
  return {
    ...(off === undefined ? {} : { makeRequest }),
    ...(apiUrl === undefined ? {} : { api: apiUrl.replace(/\/+$/u, '') }),
  };
}

function newClient(apiUrl: string | undefined, off: AbortSignal): Client {
  return new Client({
    intents: [GatewayIntentBits.Guilds],
    allowedMentions: { parse: [] },
    // Packets are held back until every server has been heard of; we need none of them for that.
    waitGuildTimeout: 500,
    rest: restAt(apiUrl, off),
  });
}

function listen(client: Client, log: App['log'], pulse: Pulse): void {
  // An `error` event nobody listens to would end the process.
  client.on(Events.Error, (error) => log.error({ err: error }, 'discord client error'));
  client.on(Events.Warn, (message) => log.warn({ message }, 'discord client warning'));
  client.on(Events.ShardError, (error) => log.warn({ err: error }, 'gateway connection error'));
  client.on(Events.ShardReconnecting, () => log.warn('gateway lost, reconnecting'));
  client.on(Events.ShardResume, (_id, replayed) => log.info({ replayed }, 'gateway resumed'));
  (client as EventEmitter).on('raw', () => pulse.heard());
}

/** Resolves once the client is ready, or when `off` aborts. */
async function login(
  { client, fatal }: Line,
  token: string,
  off: AbortSignal,
  nowMs: number,
): Promise<void> {
  const ended = new Promise<void>((resolve) => {
    off.addEventListener('abort', () => resolve(), { once: true });
  });
  const ready = new Promise<void>((resolve) => client.once(Events.ClientReady, () => resolve()));
  const refused = fatal.then((error) => Promise.reject(error));
  refused.catch(() => {});
  try {
    await Promise.race([client.login(token), ended, refused]);
    await Promise.race([ready, ended, refused]);
  } catch (error) {
    await client.destroy();
    throw error instanceof DiscordStartError ? error : startError(error, nowMs);
  }
}

/** What a failed login means: the library says it by a code, or for the day's last login in words. */
function startError(cause: unknown, nowMs: number): DiscordStartError {
  const { code, message } = cause as { code?: unknown; message: string };
  if (code === 'TokenInvalid') {
    const text = 'Discord refused the token. Copy it again from the Bot page of the application.';
    return new DiscordStartError(text, { cause, passing: false });
  }
  const resetsAt = /Not enough sessions remaining.*resets at (\S+)/u.exec(message)?.[1];
  if (resetsAt !== undefined) {
    const notBeforeMs = Math.max(0, Date.parse(resetsAt) - nowMs);
    const text = `The bot has logged in as often as Discord allows in a day; again from ${resetsAt}.`;
    return new DiscordStartError(text, { cause, passing: true, notBeforeMs });
  }
  const text = `Discord could not be reached (${String(code ?? message)}).`;
  return new DiscordStartError(text, { cause, passing: true });
}

async function registerAll(client: Client, settings: DiscordSettings): Promise<void> {
  const application = client.application?.id;
  if (application === undefined) throw new Error('the gateway named no application');
  await register({
    rest: client.rest,
    store: settings.app.store,
    log: settings.app.log,
    application,
    guild: settings.guildForTrying,
    commands: commandsJson(settings.app.commands),
  });
}
