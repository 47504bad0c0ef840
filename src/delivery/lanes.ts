import type { NoticeData } from '../alarm/notice.ts';

export type WayName = NoticeData['progress']['gone'][number];

/** Where one attempt goes. */
export interface Lane {
  way: WayName;
  /** The other side's own part of the way: a channel, an account, the server of a mail address. */
  server: string;
  /** Whoever is told, by trip: what is told one after the other by the same way. */
  person: string;
}

interface Width {
  /** Attempts under way at the same time by this way. */
  way: number;
  /** And to one server. */
  server: number;
}

/**
 * How many go at once. Less than the whole is left to what is not distress, so that distress finds room
 * where everything else hangs. Engineering choice: the platform takes 50 requests a second from one bot.
 */
const WIDTHS: Readonly<Record<WayName, Width>> = {
  channel: { way: 24, server: 2 },
  dm: { way: 24, server: 2 },
  email: { way: 32, server: 6 },
  // A few push services serve all browsers, and one gateway all phones.
  push: { way: 32, server: 16 },
  phone: { way: 32, server: 24 },
};
const SHARE = 0.75;

/** Attempts under way, so that a way or a server that hangs holds up nobody else's. */
export class Lanes {
  readonly #counts = new Map<string, number>();

  /** Whether an attempt of this urgency may begin; 0 is distress. */
  free(lane: Lane, urgency: number): boolean {
    const { way, server } = WIDTHS[lane.way];
    const room = (width: number) => (urgency === 0 ? width : Math.floor(width * SHARE));
    const [byWay, byServer, byPerson] = keysOf(lane);
    return (
      this.#count(byWay) < room(way) &&
      this.#count(byServer) < Math.max(1, room(server)) &&
      this.#count(byPerson) === 0
    );
  }

  /** Takes a place; call what it returns once to give it back. */
  take(lane: Lane): () => void {
    const keys = keysOf(lane);
    for (const key of keys) this.#counts.set(key, this.#count(key) + 1);
    let given = false;
    return () => {
      if (given) return;
      given = true;
      for (const key of keys) {
        const left = this.#count(key) - 1;
        if (left === 0) this.#counts.delete(key);
        else this.#counts.set(key, left);
      }
    };
  }

  #count(key: string): number {
    return this.#counts.get(key) ?? 0;
  }
}

function keysOf({ way, server, person }: Lane): readonly [string, string, string] {
  return [way, `${way}\n${server}`, `${way}\n\n${person}`];
}
