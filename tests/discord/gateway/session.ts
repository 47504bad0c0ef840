import { type GatewayIntentBits as Intent, GatewayOpcodes as Op } from 'discord.js';
import type { WebSocket } from 'ws';

/** How many events a session keeps for a resume. */
const KEPT = 10_000;

interface Sent {
  s: number;
  text: string;
}

/** events/gateway.mdx, Resuming: what a session remembers while its socket is away. */
export class Session {
  readonly id: string;
  readonly shard: readonly [id: number, count: number];
  readonly intents: number;
  socket: WebSocket | undefined;
  seq = 0;
  #log: Sent[] = [];

  constructor(
    id: string,
    shard: readonly [id: number, count: number],
    intents: number,
    socket: WebSocket,
  ) {
    this.id = id;
    this.shard = shard;
    this.intents = intents;
    this.socket = socket;
  }

  wants(intent: Intent): boolean {
    return (this.intents & intent) !== 0;
  }

  /** events/gateway.mdx, Sharding: `(guild_id >> 22) % num_shards`; direct messages go to shard 0. */
  covers(guildId: string | undefined): boolean {
    const [id, count] = this.shard;
    return guildId === undefined
      ? id === 0
      : (BigInt(guildId) >> 22n) % BigInt(count) === BigInt(id);
  }

  /** Numbers the event and sends it, or keeps it until the bot is back. `heard` false loses it. */
  dispatch(t: string, d: unknown, heard = true): void {
    this.seq += 1;
    const text = JSON.stringify({ op: Op.Dispatch, t, s: this.seq, d });
    this.#log.push({ s: this.seq, text });
    if (this.#log.length > 2 * KEPT) this.#log = this.#log.slice(-KEPT);
    if (heard) this.socket?.send(text);
  }

  /** False when some missed event is gone for good. */
  canReplayFrom(seq: number): boolean {
    return seq <= this.seq && (this.#log[0]?.s ?? 1) <= seq + 1;
  }

  replayFrom(seq: number): number {
    const missed = this.#log.filter((e) => e.s > seq);
    for (const { text } of missed) this.socket?.send(text);
    return missed.length;
  }
}
