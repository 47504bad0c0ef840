import type { StandClock } from './clock.ts';
import type { Pings } from './pings.ts';

/** One thing that happened, in order. `n` counts from 1 over everything. */
export type Entry = { n: number; atMs: number } & Happening;

export type Happening =
  | {
      kind: 'request';
      method: string;
      route: string;
      path: string;
      status: number;
      code?: number;
      /** True when a fault of the test met it. */
      fault?: true;
      /** Set when the answer was never given: the socket hung or was cut. */
      lost?: 'hang' | 'reset';
      body?: unknown;
    }
  | {
      kind: 'message';
      id: string;
      channelId: string;
      authorId: string;
      content: string;
      pings: Pings;
      nonce?: string | number;
      onlyFor?: string;
      interactionId?: string;
      files: string[];
      /** Labels of its buttons, row after row. */
      buttons: string[];
      loading: boolean;
    }
  /** A repeat with the same nonce, answered with the first message: people saw nothing new. */
  | { kind: 'folded'; id: string; channelId: string; nonce: string | number }
  | { kind: 'edit'; id: string; channelId: string; content: string; buttons: string[] }
  | { kind: 'delete'; id: string; channelId: string }
  | { kind: 'pin' | 'unpin'; id: string; channelId: string }
  | {
      kind: 'commands';
      scope: string;
      how: 'overwrite' | 'create' | 'edit' | 'delete';
      names: string[];
    }
  | {
      kind: 'interaction';
      id: string;
      type: string;
      userId: string;
      channelId: string;
      what: string;
    }
  | { kind: 'ack'; interactionId: string; type: number }
  | { kind: 'gateway'; what: GatewayEvent; detail?: string | number };

export type GatewayEvent =
  | 'connect'
  | 'identify'
  | 'ready'
  | 'resume'
  | 'resumed'
  | 'invalid-session'
  | 'heartbeat'
  | 'members'
  | 'reconnect'
  | 'refused'
  | 'closed';

export type EntryOf<K extends Happening['kind']> = Extract<Entry, { kind: K }>;

/** Everything that happened, for a test to read afterwards or to wait on. */
export class Journal {
  readonly entries: Entry[] = [];
  readonly #clock: StandClock;
  readonly #listeners = new Set<(entry: Entry) => void>();

  constructor(clock: StandClock) {
    this.#clock = clock;
  }

  add(happening: Happening): void {
    const entry: Entry = { n: this.entries.length + 1, atMs: this.#clock.wallMs(), ...happening };
    this.entries.push(entry);
    for (const listener of this.#listeners) listener(entry);
  }

  of<K extends Happening['kind']>(kind: K): EntryOf<K>[] {
    return this.entries.filter((e): e is EntryOf<K> => e.kind === kind);
  }

  /** Calls back for every new entry until the returned function is called. */
  listen(listener: (entry: Entry) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /**
   * Resolves with the first value `pick` gives, now or after some later entry. It waits as long as
   * the test lets it: nothing here sleeps.
   */
  until<T>(pick: () => T | undefined | false): Promise<T> {
    return new Promise((resolve, reject) => {
      const look = () => {
        try {
          const found = pick();
          if (found === undefined || found === false) return false;
          stop();
          resolve(found);
          return true;
        } catch (error) {
          stop();
          reject(error as Error);
          return true;
        }
      };
      let stop = () => {};
      if (!look()) stop = this.listen(look);
    });
  }
}
