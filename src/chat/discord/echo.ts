import type { EventEmitter } from 'node:events';
import {
  type Client,
  Events,
  GatewayDispatchEvents,
  GatewayOpcodes,
  Status,
  type WebSocketShard,
} from 'discord.js';
import type { Clock } from '../../time/clock.ts';

/** So long without an event, and the connection is asked for one. Engineering choice. */
const QUIET_MS = 4 * 60_000;
/** An event that was asked for comes within a second; so long it is waited for. Engineering choice. */
const ANSWER_MS = 60_000;
/** Unanswered so often in a row, it is deaf: one may be lost where a server is down for a while. */
const UNANSWERED_MAX = 2;

interface Ear {
  /** Monotonic time of the last event. */
  heardMs: number;
  /** When an event was asked for that hasn't come. */
  askedMs?: number;
  unanswered: number;
  /** On this connection what is asked for has come before: without that, nothing follows from its staying away. */
  proven: boolean;
}

/**
 * A connection may stay up with its heartbeats answered, and no event comes through it
 * (discord/discord-api-docs issue 8162). Silence alone says nothing: nobody may have posted. So one that has been
 * silent is asked for our own membership of a server, which comes as an event and needs no intent
 * (events/gateway-events.mdx, Request Guild Members, `user_ids`).
 */
export class Echo {
  readonly #client: Client;
  readonly #clock: Clock;
  readonly #ears = new Map<number, Ear>();
  readonly #answered: () => void;

  /** @param answered what was asked for has come through every connection */
  constructor(client: Client, clock: Clock, answered: () => void) {
    this.#client = client;
    this.#clock = clock;
    this.#answered = answered;
    // Not among the library's typed events.
    (client as EventEmitter).on(Events.Raw, ({ t }: { t: unknown }, shard: number) =>
      this.#heard(shard, t === GatewayDispatchEvents.GuildMembersChunk),
    );
    const forget = (shard: number) => void this.#ears.delete(shard);
    client.on(Events.ShardReconnecting, forget);
    client.on(Events.ShardDisconnect, (_, shard) => forget(shard));
  }

  /**
   * Looks once, and asks where it has been silent.
   *
   * @returns since when a connection has been deaf, in monotonic milliseconds; undefined while none is known to be
   */
  look(): number | undefined {
    const deaf = [...this.#client.ws.shards.values()]
      .filter((shard) => shard.status === Status.Ready)
      .flatMap((shard) => this.#lookAt(shard) ?? []);
    return deaf.length === 0 ? undefined : Math.min(...deaf);
  }

  #lookAt(shard: WebSocketShard): number | undefined {
    const ear = this.#ears.get(shard.id);
    if (ear === undefined) return undefined;
    const nowMs = this.#clock.monoMs();
    if (ear.askedMs === undefined) {
      if (!ear.proven || nowMs - ear.heardMs >= QUIET_MS) this.#ask(shard, ear, nowMs);
      return undefined;
    }
    if (nowMs - ear.askedMs < ANSWER_MS) return undefined;
    ear.unanswered += 1;
    if (ear.proven && ear.unanswered >= UNANSWERED_MAX) return ear.heardMs;
    this.#ask(shard, ear, nowMs);
    return undefined;
  }

  #ask(shard: WebSocketShard, ear: Ear, nowMs: number): void {
    const mine = this.#client.guilds.cache.filter((g) => g.shardId === shard.id && g.available);
    const guild = mine.at(ear.unanswered % Math.max(1, mine.size));
    const me = this.#client.user?.id;
    if (guild === undefined || me === undefined) return;
    ear.askedMs = nowMs;
    const d = { guild_id: guild.id, user_ids: me };
    shard.send({ op: GatewayOpcodes.RequestGuildMembers, d });
  }

  #heard(shard: number, answer: boolean): void {
    const proven = answer || this.#ears.get(shard)?.proven === true;
    this.#ears.set(shard, { heardMs: this.#clock.monoMs(), unanswered: 0, proven });
    if (answer && this.#client.ws.shards.every(({ id }) => this.#ears.get(id)?.proven === true)) {
      this.#answered();
    }
  }
}
