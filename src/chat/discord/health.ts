import { type Client, Status } from 'discord.js';
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
  /** Interactions being answered. */
  underWay: number;
}

/** Whether the gateway is alive: a connection may stay open and deaf, so both ages are told. */
export class Pulse {
  readonly #client: Client;
  readonly #clock: Clock;
  #heardAtMonoMs: number | undefined;

  constructor(client: Client, clock: Clock) {
    this.#client = client;
    this.#clock = clock;
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
      underWay,
    };
  }
}
