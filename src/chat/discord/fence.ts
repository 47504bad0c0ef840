import {
  type IShardingStrategy,
  managerToFetchingStrategyOptions,
  SimpleContextFetchingStrategy,
  SimpleShardingStrategy,
  type WebSocketManager,
  WebSocketShard,
  WebSocketShardEvents,
} from '@discordjs/ws';
import type { Client } from 'discord.js';

/**
 * What comes in from the gateway runs through the library, which reads a packet's fields unchecked: one
 * that isn't as it expects throws inside a socket's listener, and that ends a Node process. So every way in
 * is fenced: a packet that can't be handled is dropped, and a connection whose own state may be broken by
 * what came is given up for a new one. A worker thread would not do: the sockets can run in one, but
 * the library reads the packets where the client is.
 */
export interface Fence {
  /** A packet was dropped; the next is handled as ever. `kind` is its event's name, when it has one. */
  odd(kind: string, error: unknown): void;
  /** The connection can't be relied on any more. */
  broken(error: unknown): void;
}

/** What a client can't do without: dropped, it would never be ready. */
const NEEDED: ReadonlySet<string> = new Set(['READY', 'RESUMED']);

type Anything = (...args: unknown[]) => unknown;
type Methods = Record<string, Anything>;

/** For the client's option `ws.buildStrategy`: its connections in this process, each behind the fence. */
export function fencedConnections(fence: Fence): (manager: WebSocketManager) => IShardingStrategy {
  return (manager) => new FencedStrategy(manager, fence);
}

/** Packets that came before the client was ready are handled later, from a timer of the library's. */
export function fencePackets(client: Client, fence: Fence): void {
  const manager = client.ws as unknown as Methods;
  const handle = method(manager, 'handlePacket');
  manager.handlePacket = (packet, shard) => {
    try {
      return handle(packet, shard);
    } catch (error) {
      dropped(fence, packet, error);
      return false;
    }
  };
}

class FencedStrategy extends SimpleShardingStrategy {
  readonly #manager: WebSocketManager;
  readonly #fence: Fence;

  constructor(manager: WebSocketManager, fence: Fence) {
    super(manager);
    this.#manager = manager;
    this.#fence = fence;
  }

  /** Nobody waits for it. That a connection is away is heard of otherwise. */
  override async send(...args: Parameters<SimpleShardingStrategy['send']>): Promise<void> {
    await super.send(...args).catch(() => {});
  }

  /** As the library's own, with a fence round each connection. */
  override async spawn(shardIds: number[]): Promise<void> {
    const options = await managerToFetchingStrategyOptions(this.#manager);
    const { shards } = this as unknown as { shards: Map<number, WebSocketShard> };
    for (const shardId of shardIds) {
      const context = new SimpleContextFetchingStrategy(this.#manager, options);
      const shard = new WebSocketShard(context, shardId);
      fenceShard(shard as unknown as Methods, this.#fence);
      for (const event of Object.values(WebSocketShardEvents)) {
        const pass = (payload: object) => {
          (this.#manager.emit as Anything).call(this.#manager, event, { ...payload, shardId });
        };
        shard.on(event, pass as never);
      }
      shards.set(shardId, shard);
    }
  }
}

/** The library calls these without waiting for them, so what they reject with would be unhandled. */
const UNWATCHED = ['onMessage', 'onClose', 'internalConnect', 'heartbeat'] as const;

function fenceShard(shard: Methods, fence: Fence): void {
  const emit = method(shard, 'emit');
  shard.emit = (event, payload) => {
    try {
      return emit(event, payload);
    } catch (error) {
      // Its own errors are for whoever waits for the connection.
      if (event === WebSocketShardEvents.Error) throw error;
      if (event === WebSocketShardEvents.Dispatch) {
        dropped(fence, (payload as { data?: unknown } | undefined)?.data, error);
      } else fence.broken(error);
      return true;
    }
  };
  for (const name of UNWATCHED) {
    const call = method(shard, name);
    shard[name] = async (...args) => {
      try {
        return await call(...args);
      } catch (error) {
        fence.broken(error);
        return undefined;
      }
    };
  }
}

function dropped(fence: Fence, packet: unknown, error: unknown): void {
  const { t } = (packet ?? {}) as { t?: unknown };
  const kind = typeof t === 'string' ? t.slice(0, 50) : 'none';
  fence.odd(kind, error);
  if (NEEDED.has(kind)) fence.broken(error);
}

/** @throws Error when the library has changed and no longer has it: found by the first test, not on a wall */
function method(of: Methods, name: string): Anything {
  const found = of[name];
  if (typeof found !== 'function') throw new Error(`the chat library has no ${name} any more`);
  return found.bind(of);
}
