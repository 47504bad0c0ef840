import type { EventEmitter } from 'node:events';
import { Client, Events, GatewayIntentBits, type Guild, type Interaction } from 'discord.js';
import type { Logger } from 'pino';
import type { Clock } from '../../time/clock.ts';
import { Echo } from './echo.ts';
import { type Fence, fencedConnections, fencePackets } from './fence.ts';
import { Pulse } from './health.ts';
import { type Access, restOptions } from './rest.ts';

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

/** A login that takes longer hangs. The library's own limits add up to less. Engineering choice. */
const LOGIN_MAX_MS = 3 * 60_000;

export interface LineParts {
  access: Access;
  clock: Clock;
  log: Logger;
  /** Ends its requests. */
  off: AbortSignal;
  take(interaction: Interaction): void;
  /** The bot was added to a server just now. */
  joined(guild: Guild): void;
  /** Discord has closed it: what mends that, where no new login does. */
  closed(code: number): string | undefined;
}

/** One client from its login to its end. One that failed is of no more use: each try has its own. */
export class Line {
  readonly client: Client;
  readonly pulse: Pulse;
  readonly echo: Echo;
  /** Resolves, with the reason, when it can't be relied on any more. Closed for good is not that. */
  readonly broken: Promise<unknown>;
  readonly #parts: LineParts;
  /** Resolves when Discord closes for good. */
  readonly #fatal: Promise<DiscordStartError>;

  constructor(parts: LineParts) {
    const { log, clock, access, off } = parts;
    this.#parts = parts;
    let break_ = (_: unknown): void => {};
    this.broken = new Promise((resolve) => {
      break_ = resolve;
    });
    const fence: Fence = {
      odd: (kind, error) => log.warn({ kind, why: wordsOf(error) }, 'an odd packet was dropped'),
      broken: break_,
    };
    const client = newClient(access, off, fence);
    this.client = client;
    this.pulse = new Pulse(client, clock);
    this.echo = new Echo(client, clock, () => this.pulse.answered());
    // Once and before the login: listeners added when ready would be added again at every reconnect.
    client.on(Events.InteractionCreate, parts.take).on(Events.GuildCreate, parts.joined);
    listen(client, log, this.pulse);
    this.#fatal = new Promise((resolve) => {
      client.on(Events.ShardDisconnect, ({ code }) => {
        const remedy = parts.closed(code);
        if (remedy === undefined) return break_(new Error(`closed with ${code}`));
        resolve(new DiscordStartError(remedy, { passing: false }));
      });
    });
  }

  /**
   * Resolves once the client is ready, or when `off` aborts.
   *
   * @throws DiscordStartError
   */
  async login(): Promise<void> {
    const { client } = this;
    const { off, access, clock } = this.#parts;
    const ended = new Promise<void>((resolve) => {
      off.addEventListener('abort', () => resolve(), { once: true });
    });
    const ready = new Promise<void>((resolve) => client.once(Events.ClientReady, () => resolve()));
    const refused = this.#fatal.then((error) => Promise.reject(error));
    refused.catch(() => {});
    const failed = this.broken.then((cause) => Promise.reject(cause));
    failed.catch(() => {});
    const done = new AbortController();
    const late = clock.sleep(LOGIN_MAX_MS, done.signal).then(() => {
      throw new Error('no answer');
    });
    late.catch(() => {});
    try {
      const login = client.login(access.token);
      login.catch(() => {});
      await Promise.race([login, ended, refused, failed, late]);
      await Promise.race([ready, ended, refused, failed, late]);
    } catch (error) {
      await this.end();
      throw error instanceof DiscordStartError ? error : startError(error, clock.wallMs());
    } finally {
      done.abort();
    }
  }

  /** Hears nothing more and leaves the gateway. Never rejects: what is left of it must not matter. */
  async end(): Promise<void> {
    this.client.removeAllListeners(Events.InteractionCreate);
    await this.client.destroy().catch((error: unknown) => {
      this.#parts.log.warn({ why: wordsOf(error) }, 'a connection could not be closed');
    });
  }
}

function wordsOf(error: unknown): string {
  return error instanceof Error ? `${error.name}: ${error.message}` : String(error);
}

function newClient(access: Access, off: AbortSignal, fence: Fence): Client {
  const client = new Client({
    intents: [GatewayIntentBits.Guilds],
    allowedMentions: { parse: [] },
    // As many connections as Discord asks for; the watch is one all the same.
    shards: 'auto',
    // Packets are held back until every server has been heard of; we need none of them for that.
    waitGuildTimeout: 500,
    rest: restOptions(access, off),
    ws: { buildStrategy: fencedConnections(fence) },
  });
  fencePackets(client, fence);
  return client;
}

function listen(client: Client, log: Logger, pulse: Pulse): void {
  // An `error` event nobody listens to would end the process.
  client.on(Events.Error, (error) => log.error({ err: error }, 'discord client error'));
  client.on(Events.Warn, (message) => log.warn({ message }, 'discord client warning'));
  client.on(Events.ShardError, (error) => log.warn({ err: error }, 'gateway connection error'));
  client.on(Events.ShardReconnecting, () => log.warn('gateway lost, reconnecting'));
  client.on(Events.ShardResume, (_id, replayed) => log.info({ replayed }, 'gateway resumed'));
  (client as EventEmitter).on('raw', () => pulse.heard());
}

/** What a failed login means: the library says it by a code, or for the day's last login in words. */
function startError(cause: unknown, nowMs: number): DiscordStartError {
  const { code, message } = (cause ?? {}) as { code?: unknown; message?: string };
  if (code === 'TokenInvalid') {
    const text = 'Discord refused the token. Copy it again from the Bot page of the application.';
    return new DiscordStartError(text, { cause, passing: false });
  }
  const resetsAt = /Not enough sessions remaining.*resets at (\S+)/u.exec(message ?? '')?.[1];
  if (resetsAt !== undefined) {
    const notBeforeMs = Math.max(0, Date.parse(resetsAt) - nowMs);
    const text = `The bot has logged in as often as Discord allows in a day; again from ${resetsAt}.`;
    return new DiscordStartError(text, { cause, passing: true, notBeforeMs });
  }
  const text = `Discord could not be reached (${String(code ?? message ?? 'no reason given')}).`;
  return new DiscordStartError(text, { cause, passing: true });
}
