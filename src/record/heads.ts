import type { Loaded, Written } from './writing.ts';

/** A change that was handed to the store and isn't known to be on the disk: the next one is decided on it. */
export interface Head {
  loaded: Loaded;
  /** What it was decided on, as long as that isn't stored for certain either. */
  on: Head | undefined;
  /** Whether it was stored in the end. Never rejects. */
  stored: Promise<boolean>;
  /** It was not, or will not be. */
  isVoid: boolean;
}

/** What was decided in a trip's turn; the turn is over, the store may not be done. */
export interface Tried {
  ends(): Promise<Written | 'conflict'>;
}

/** Another change was first. */
export const LOST: Tried = { ends: async () => 'conflict' };

/** What rests on a change that may not be stored yet holds once that is; it is to be done anew where it isn't. */
export function onHead(head: Head | undefined, outcome: () => Written): Tried {
  return {
    ends: async () => (head === undefined || (await head.stored) ? outcome() : 'conflict'),
  };
}

/** Of each trip the newest change that is on its way to the disk. */
export class Heads {
  readonly #stored: (loaded: Loaded) => void;
  readonly #byTrip = new Map<string, Head>();

  /** @param stored called when a change is on the disk */
  constructor(stored: (loaded: Loaded) => void) {
    this.#stored = stored;
  }

  of(trip: string): Head | undefined {
    return this.#byTrip.get(trip);
  }

  /** Takes what is being stored for what the next change is decided on, until it is known what came of it. */
  lead<T>(loaded: Loaded, on: Head | undefined, storing: Promise<T | 'stored'>): typeof storing {
    const head: Head = { loaded, on, stored: Promise.resolve(false), isVoid: false };
    this.#byTrip.set(loaded.row.id, head);
    const ended = storing.then(
      (result) => {
        this.#ended(head, result === 'stored');
        return result;
      },
      (error: unknown) => {
        this.#ended(head, false);
        throw error;
      },
    );
    head.stored = ended.then(
      (result) => result === 'stored',
      () => false,
    );
    return ended;
  }

  #ended(head: Head, isStored: boolean): void {
    const { id } = head.loaded.row;
    head.on = undefined;
    const leading = this.#byTrip.get(id);
    if (isStored) {
      if (leading === head) this.#byTrip.delete(id);
      this.#stored(head.loaded);
      return;
    }
    head.isVoid = true;
    // What was decided on it since is void with it.
    const built: Head[] = [];
    for (let next = leading; next !== undefined; next = next.on) {
      built.push(next);
      if (next !== head) continue;
      for (const one of built) one.isVoid = true;
      this.#byTrip.delete(id);
    }
  }
}
