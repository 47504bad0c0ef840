import type { EventEmitter } from 'node:events';
import { Client, Events, GatewayIntentBits } from 'discord.js';
import type { App } from '../../app/app.ts';
import type { AnswerTools } from './answer.ts';
import { commandsJson } from './definitions.ts';
import { type Health, Pulse } from './health.ts';
import { handle } from './interactions.ts';
import { createOutgoing, type Outgoing } from './outgoing.ts';
import { register } from './register.ts';

export interface DiscordSettings {
  app: App;
  token: string;
  /** Another base address than Discord's own, such as `http://127.0.0.1:8080/api`. */
  apiUrl?: string | undefined;
  /** Registers the commands in this server only, where they appear at once. */
  guildForTrying?: string | undefined;
  /** Called before the login with what sends messages: a command may come as soon as we are in. */
  prepare?: (outgoing: Outgoing) => void;
  /** An answer slower than this is announced first. */
  deferAfterMs?: number;
  /** How long `close` waits for answers under way. */
  closeWithinMs?: number;
}

export interface DiscordChat {
  outgoing: Outgoing;
  health(): Health;
  /** Takes nothing new, finishes what is under way, leaves the gateway. */
  close(): Promise<void>;
}

/** Discord would not let us in; the message is fit for a terminal and holds no secret. */
export class DiscordStartError extends Error {
  constructor(message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'DiscordStartError';
  }
}

/** Logs in, registers the commands when they changed, and answers from then on. */
export async function startDiscord(settings: DiscordSettings): Promise<DiscordChat> {
  const { app } = settings;
  const log = app.log.child({ chat: 'discord' });
  const client = newClient(settings.apiUrl);
  const pulse = new Pulse(client, app.clock);
  const outgoing = createOutgoing(client.rest, (problem) =>
    log.error({ problem }, 'part of a message was left out'),
  );
  settings.prepare?.(outgoing);
  const tools: AnswerTools = {
    clock: app.clock,
    log,
    outgoing,
    deferAfterMs: settings.deferAfterMs ?? 800,
  };
  const underWay = new Set<Promise<void>>();
  let closing = false;
  // Once and before the login: listeners added when ready would be added again at every reconnect.
  client.on(Events.InteractionCreate, (interaction) => {
    const work = handle(app, interaction, tools, closing).finally(() => underWay.delete(work));
    underWay.add(work);
  });
  listen(client, log, pulse);
  await login(client, settings.token);
  await registerAll(client, settings).catch((error: unknown) => {
    // The old definitions still work; a bot without answers would be worse.
    log.error({ err: error }, 'commands could not be registered');
  });
  return {
    outgoing,
    health: () => pulse.health(underWay.size),
    async close() {
      closing = true;
      const done = new AbortController();
      await Promise.race([
        Promise.allSettled([...underWay]),
        app.clock.sleep(settings.closeWithinMs ?? 10_000, done.signal),
      ]);
      done.abort();
      await client.destroy();
    },
  };
}

function newClient(apiUrl: string | undefined): Client {
  return new Client({
    intents: [GatewayIntentBits.Guilds],
    allowedMentions: { parse: [] },
    // Packets are held back until every server has been heard of; we need none of them for that.
    waitGuildTimeout: 500,
    ...(apiUrl === undefined ? {} : { rest: { api: apiUrl.replace(/\/+$/u, '') } }),
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

async function login(client: Client, token: string): Promise<void> {
  const ready = new Promise<void>((resolve) => client.once(Events.ClientReady, () => resolve()));
  try {
    await client.login(token);
  } catch (error) {
    await client.destroy();
    const code = (error as { code?: unknown }).code;
    throw new DiscordStartError(
      code === 'TokenInvalid'
        ? 'Discord refused the token. Copy it again from the Bot page of the application.'
        : `Discord could not be reached (${String(code ?? (error as Error).message)}).`,
      { cause: error },
    );
  }
  await ready;
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
