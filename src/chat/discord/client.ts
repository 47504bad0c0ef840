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
import { type Health, Pulse } from './health.ts';
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

  constructor(message: string, { passing, ...options }: ErrorOptions & { passing: boolean }) {
    super(message, options);
    this.name = 'DiscordStartError';
    this.passing = passing;
  }
}

/** Between tries to reach Discord at the start. */
const AGAIN_MS = [5_000, 15_000, 30_000, 60_000] as const;

/** Answers on Discord, from `connect` to `close`. */
export class DiscordChat {
  readonly #settings: DiscordSettings;
  readonly #log: App['log'];
  readonly #tools: AnswerTools;
  readonly #underWay = new Set<Promise<void>>();
  /** Aborted once the last answer is out. */
  readonly #off = new AbortController();
  #closing = false;
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
        await login(this.#line.client, token, this.#off.signal);
        break;
      } catch (error) {
        if (this.#closing) return;
        if (!(error instanceof DiscordStartError) || !error.passing) throw error;
        const afterMs = AGAIN_MS[Math.min(failures, AGAIN_MS.length - 1)] as number;
        this.#log.warn({ afterMs }, `${error.message} Trying again.`);
        await app.clock.sleep(afterMs, this.#off.signal);
        this.#line = this.#newLine();
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
    return this.#line.pulse.health(this.#underWay.size);
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
    return { client, pulse };
  }
}

/** A client that failed to log in is of no more use: each try has its own. */
interface Line {
  client: Client;
  pulse: Pulse;
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
  client.on(Events.ShardDisconnect, (event) =>
    log.error({ code: event.code }, 'gateway closed for good'),
  );
  (client as EventEmitter).on('raw', () => pulse.heard());
}

/** Resolves once the client is ready, or when `off` aborts. */
async function login(client: Client, token: string, off: AbortSignal): Promise<void> {
  const ended = new Promise<void>((resolve) => {
    off.addEventListener('abort', () => resolve(), { once: true });
  });
  const ready = new Promise<void>((resolve) => client.once(Events.ClientReady, () => resolve()));
  try {
    await Promise.race([client.login(token), ended]);
  } catch (error) {
    await client.destroy();
    const code = (error as { code?: unknown }).code;
    const refused = code === 'TokenInvalid';
    throw new DiscordStartError(
      refused
        ? 'Discord refused the token. Copy it again from the Bot page of the application.'
        : `Discord could not be reached (${String(code ?? (error as Error).message)}).`,
      { cause: error, passing: !refused },
    );
  }
  await Promise.race([ready, ended]);
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
