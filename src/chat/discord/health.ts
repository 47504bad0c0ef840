import { type Client, Events, Status } from 'discord.js';
import type { Clock } from '../../time/clock.ts';

export interface Health {
  /** Every gateway connection is up. */
  ready: boolean;
  /** The least ready connection's state, in the library's word. */
  status: string;
  /** Since anything came in, heartbeats apart; undefined before the first. */
  lastEventAgeMs?: number;
  /** Since Discord last answered a heartbeat; undefined before the first. */
  heartbeatAgeMs?: number;
  /** Since the connection was lost, or since the start without one; undefined while it is up. */
  lostAgeMs?: number;
  /** Discord won't have us back by itself: why, and what mends it. */
  refused?: string;
  /** Interactions being answered. */
  underWay: number;
}

const RESTART = 'then start tagline again';

/**
 * Closes after which no new login helps, with what does. topics/opcodes-and-status-codes.mdx, Gateway Close
 * Event Codes.
 */
const FATAL: Readonly<Record<number, string>> = {
  4004: `Discord refused the token (4004): copy it again from the Bot page of the application into DISCORD_TOKEN, ${RESTART}.`,
  4012: 'Discord no longer speaks this version of its gateway (4012): update tagline.',
  4013: 'Discord does not know what tagline asks to hear (4013): update tagline.',
  4014: `Discord does not let the bot hear what it asks for (4014): see the intents on the Bot page of the application, ${RESTART}.`,
};

const MORE = `though it was asked how many connections there are to be: ${RESTART}; if that stays, the bot is on too many servers for one program`;

/** Closes that a new login mends, which asks anew how many connections there are to be; a second one right after it doesn't. */
const UNFIT: Readonly<Record<number, string>> = {
  4010: `Discord does not know this connection of the bot (4010), ${MORE}.`,
  4011: `Discord wants the bot on more connections (4011), ${MORE}.`,
};

/** Whether a new login mends it, and a second one wouldn't. */
export function isUnfit(code: number): boolean {
  return code in UNFIT;
}

/**
 * What to do about a close; undefined where the connection comes back by itself.
 *
 * @param again the login before was closed for the same kind of reason
 */
export function remedyOf(code: number, again: boolean): string | undefined {
  return FATAL[code] ?? (again ? UNFIT[code] : undefined);
}

/** Whether the gateway is alive: a connection may stay open and deaf, so both ages are told. */
export class Pulse {
  readonly #client: Client;
  readonly #clock: Clock;
  #heardAtMonoMs: number | undefined;
  /** Since when there has been no connection, from the first moment on. */
  #lostMonoMs: number | undefined;
  /** Which of several connections are lost. */
  readonly #lost = new Set<number>();
  /** A connection was found to be up and deaf: that the next is up says little, until something has come through it. */
  #deaf = false;

  constructor(client: Client, clock: Clock) {
    this.#client = client;
    this.#clock = clock;
    this.#lostMonoMs = clock.monoMs();
    const lost = (shard: number) => {
      this.#lost.add(shard);
      this.#lostMonoMs ??= clock.monoMs();
    };
    const back = (shard: number) => {
      this.#lost.delete(shard);
      const up = client.ws.shards.every((s) => s.id === shard || s.status === Status.Ready);
      if (up && this.#lost.size === 0 && !this.#deaf) this.#lostMonoMs = undefined;
    };
    client.on(Events.ShardReconnecting, lost);
    client.on(Events.ShardDisconnect, (_, shard) => lost(shard));
    client.on(Events.ShardReady, back).on(Events.ShardResume, back);
  }

  /** A new client after one that failed has been without a connection for as long. */
  lostSince(before: Pulse): void {
    this.#lostMonoMs = before.#lostMonoMs;
    this.#deaf = before.#deaf;
  }

  /** It is up, and nothing has come through it since; monotonic milliseconds. */
  deafSince(monoMs: number): void {
    this.#deaf = true;
    this.#lostMonoMs = Math.min(monoMs, this.#lostMonoMs ?? monoMs);
  }

  /** What was asked for has come through every connection. */
  answered(): void {
    if (!this.#deaf) return;
    this.#deaf = false;
    if (this.#lost.size === 0) this.#lostMonoMs = undefined;
  }

  heard(): void {
    this.#heardAtMonoMs = this.#clock.monoMs();
  }

  health(underWay: number): Health {
    const shards = [...this.#client.ws.shards.values()];
    const notReady = shards.find((shard) => shard.status !== Status.Ready);
    const status = shards.length === 0 ? Status.Idle : (notReady?.status ?? Status.Ready);
    const beats = shards.map((shard) => shard.lastPingTimestamp);
    const oldestBeatMs = Math.min(...beats);
    return {
      ready: status === Status.Ready,
      status: Status[status],
      ...(this.#heardAtMonoMs === undefined
        ? {}
        : { lastEventAgeMs: this.#clock.monoMs() - this.#heardAtMonoMs }),
      ...(beats.length === 0 || oldestBeatMs < 0
        ? {}
        : { heartbeatAgeMs: this.#clock.wallMs() - oldestBeatMs }),
      ...(this.#lostMonoMs === undefined
        ? {}
        : { lostAgeMs: this.#clock.monoMs() - this.#lostMonoMs }),
      underWay,
    };
  }
}
