import type { Client, Guild, Interaction } from 'discord.js';
import type { App } from '../../app/app.ts';
import { Rates } from '../../app/rates.ts';
import type { AnswerTools } from './answer.ts';
import { registeredJson } from './definitions.ts';
import { type Health, isUnfit, remedyOf } from './health.ts';
import { handle } from './interactions.ts';
import { DiscordStartError, Line } from './line.ts';
import type { Outgoing } from './outgoing.ts';
import { Patience } from './patience.ts';
import { register } from './register.ts';
import type { Access } from './rest.ts';
import type { Surface } from './surface.ts';
import { welcome } from './welcome.ts';

export interface DiscordSettings extends Access {
  app: App;
  /** What sends messages that nobody asked for. */
  outgoing: Outgoing;
  /** How replies are shown. */
  surface: Surface;
  /** Registers the commands in this server only, where they appear at once. */
  guildForTrying?: string | undefined;
  /** An answer slower than this is announced first. */
  deferAfterMs?: number;
  /** How long `close` waits for answers under way. */
  closeWithinMs?: number;
  /** Waits until it may be logged in; false when `off` aborted before that. */
  mayConnect?: (off: AbortSignal) => Promise<boolean>;
}

/**
 * Between tries to reach Discord. The last goes on, and is long: each may count as a login, and
 * after 1,000 in a day Discord resets the token (events/gateway.mdx, Session Start Limit).
 */
const AGAIN_MS = [5_000, 15_000, 30_000, 60_000, 120_000, 300_000] as const;
const AGAIN_MAX_MS = 24 * 3_600_000;
/** A connection that the library hasn't brought back by then is given up for a new one. Engineering choice. */
const LOST_MAX_MS = 5 * 60_000;
const LOOK_EVERY_MS = 30_000;
/** A connection that held so long was a good one: when it breaks, the next is tried soon. */
const HELD_MS = 10 * 60_000;

/**
 * Answers on Discord, from `connect` to `close`. Its connection may break and is then made anew; nobody
 * outside needs to know.
 */
export class DiscordChat {
  readonly #settings: DiscordSettings;
  readonly #log: App['log'];
  readonly #tools: AnswerTools;
  readonly #underWay = new Set<Promise<void>>();
  /** Aborted once the last answer is out. */
  readonly #off = new AbortController();
  #closing = false;
  #refused: string | undefined;
  /** When Discord last wanted another number of connections. */
  #unfitAtMs: number | undefined;
  #line: Line;
  #keeping: Promise<void> = Promise.resolve();

  constructor(settings: DiscordSettings) {
    const { app, outgoing, surface, deferAfterMs = 800 } = settings;
    this.#settings = settings;
    this.#log = app.log.child({ chat: 'discord' });
    this.#tools = {
      ...{ clock: app.clock, log: this.#log, outgoing, surface },
      patience: new Patience(deferAfterMs),
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
    await this.#logIn();
    if (this.#closing) return this.#line.end();
    const { client } = this.#line;
    this.#keeping = this.#keep();
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
    await this.#keeping;
    await this.#line.end();
  }

  async #logIn(): Promise<void> {
    const { app } = this.#settings;
    const { signal } = this.#off;
    for (let failures = 0; !this.#closing; failures++) {
      try {
        if (!(await this.#mayConnect())) return;
        return await this.#line.login();
      } catch (error) {
        if (this.#closing) return;
        if (!(error instanceof DiscordStartError) || !error.passing) {
          this.#refused ??= (error as Error).message;
          throw error;
        }
        const stepMs = AGAIN_MS[Math.min(failures, AGAIN_MS.length - 1)] as number;
        const afterMs = Math.max(stepMs, Math.min(error.notBeforeMs, AGAIN_MAX_MS));
        this.#log.warn({ afterMs }, `${error.message} Trying again.`);
        await app.clock.sleep(afterMs, signal);
        this.#startAnew();
      }
    }
  }

  /** A pace that can't be noted down, as on a full disk, must not keep the chat away. */
  async #mayConnect(): Promise<boolean> {
    const { mayConnect = async () => true } = this.#settings;
    return mayConnect(this.#off.signal).catch((error: unknown) => {
      this.#log.error({ err: error }, 'the pace of connecting could not be kept');
      return !this.#closing;
    });
  }

  /** Makes the connection anew whenever it breaks, until it is closed or Discord refuses for good. */
  async #keep(): Promise<void> {
    const { clock } = this.#settings.app;
    for (let times = 0; ; times++) {
      const sinceMs = clock.monoMs();
      const why = await this.#breaks();
      if (this.#closing || this.#refused !== undefined) return;
      if (clock.monoMs() - sinceMs > HELD_MS) times = 0;
      const afterMs = AGAIN_MS[Math.min(times, AGAIN_MS.length - 1)] as number;
      this.#log.error({ err: why, afterMs }, 'the chat side is started anew');
      await clock.sleep(afterMs, this.#off.signal);
      if (this.#closing) return;
      this.#startAnew();
      try {
        await this.#logIn();
      } catch {
        // It stands in the log and in health, and does not pass by itself.
        return;
      }
    }
  }

  /** Resolves with the reason once the connection is of no more use, or when it is closed. */
  async #breaks(): Promise<unknown> {
    const { clock } = this.#settings.app;
    const { broken, pulse, echo } = this.#line;
    const sinceMs = clock.monoMs();
    for (;;) {
      const waited = new AbortController();
      const waiting = AbortSignal.any([waited.signal, this.#off.signal]);
      const why = await Promise.race([
        broken.then((error) => ({ error })),
        clock.sleep(LOOK_EVERY_MS, waiting).then(() => undefined),
      ]);
      waited.abort();
      if (why !== undefined) return why.error;
      if (this.#off.signal.aborted || this.#refused !== undefined) return undefined;
      const deafSinceMs = echo.look();
      if (deafSinceMs !== undefined) {
        pulse.deafSince(deafSinceMs);
        const quietS = Math.round((clock.monoMs() - deafSinceMs) / 1000);
        return new Error(`up, and no event through it for ${quietS} s`);
      }
      const { lostAgeMs = 0 } = pulse.health(0);
      // One that takes the place of a deaf one has its own time to be heard through.
      if (Math.min(lostAgeMs, clock.monoMs() - sinceMs) > LOST_MAX_MS)
        return new Error(`lost for ${Math.round(lostAgeMs / 1000)} s`);
    }
  }

  #startAnew(): void {
    const before = this.#line;
    this.#line = this.#newLine();
    this.#line.pulse.lostSince(before.pulse);
    // Not waited for: whatever broke it may keep it from ending too.
    void before.end();
  }

  #newLine(): Line {
    const { app, ...access } = this.#settings;
    return new Line({
      access,
      clock: app.clock,
      log: this.#log,
      off: this.#off.signal,
      take: (interaction) => this.#take(interaction),
      joined: (guild) => void this.#welcome(guild),
      closed: (code) => this.#closed(code),
    });
  }

  /** What mends a close; undefined where a new login does. */
  #closed(code: number): string | undefined {
    const nowMs = this.#settings.app.clock.monoMs();
    const again = this.#unfitAtMs !== undefined && nowMs - this.#unfitAtMs < HELD_MS;
    if (isUnfit(code)) this.#unfitAtMs = nowMs;
    const remedy = remedyOf(code, again);
    if (remedy === undefined || this.#closing) return remedy;
    this.#refused = remedy;
    this.#log.error({ code }, remedy);
    return remedy;
  }

  async #welcome(guild: Guild): Promise<void> {
    const { app, outgoing } = this.#settings;
    try {
      await welcome(guild, { store: app.store, outgoing, nowMs: app.clock.wallMs() });
    } catch (error) {
      this.#log.error({ err: error }, 'a server could not be welcomed');
    }
  }

  #take(interaction: Interaction): void {
    const work = handle(this.#settings.app, interaction, this.#tools, this.#closing).finally(() =>
      this.#underWay.delete(work),
    );
    this.#underWay.add(work);
  }
}

async function registerAll(client: Client, settings: DiscordSettings): Promise<void> {
  const application = client.application?.id;
  if (application === undefined) throw new Error('the gateway named no application');
  const { ids } = await register({
    rest: client.rest,
    store: settings.app.store,
    log: settings.app.log,
    application,
    guild: settings.guildForTrying,
    commands: registeredJson(settings.app.commands),
  });
  await settings.surface.named(ids);
}
