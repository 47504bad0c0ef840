import type { NoticeData } from '../alarm/notice.ts';

export type WayName = NoticeData['progress']['gone'][number];

/** Where one attempt goes. */
export interface Lane {
  way: WayName;
  /** The other side's own part of the way: a channel, an account, the server of a mail address; several where one message goes to each. */
  servers: readonly string[];
  /** Whoever is told, by trip: what is told one after the other by the same way. */
  person: string;
}

/** A place in a lane while an attempt is under way. */
export interface Place {
  /** It takes long: it steps aside, where there is room, and others go on in its place. */
  slow(): void;
  /** It did not take long. */
  quick(): void;
  /** It is over, or was never begun. Given twice is given once. */
  give(): void;
}

interface Width {
  /** Attempts under way at the same time by this way. */
  way: number;
  /** And to one server. */
  server: number;
}

/**
 * How many go at once. Less than the whole is left to what is not distress, so that distress finds room
 * where everything else hangs. Engineering choice: the platform takes 50 requests a second from one bot and answers within
 * 0.1 to 0.4 s, so 20 under way use that up; they are there for an alert to places that were never tried, too.
 */
const WIDTHS: Readonly<Record<WayName, Width>> = {
  channel: { way: 36, server: 2 },
  dm: { way: 36, server: 2 },
  email: { way: 32, server: 6 },
  // A few push services serve all browsers, and one gateway all phones.
  push: { way: 32, server: 16 },
  ntfy: { way: 32, server: 16 },
  phone: { way: 32, server: 24 },
};
const SHARE = 0.75;
/** An attempt that takes longer is slow. Engineering choice: a server that is well answers in a second or two. */
export const SLOW_MS = 3_000;
/** Slow attempts that wait aside at the same time, by one way. */
const ASIDE = 128;
/** Of a way's places as many at most go to servers that have not shown yet whether they are slow. */
const UNTRIED = 0.5;
/** Servers whose manner is remembered. */
const REMEMBERED = 10_000;

/**
 * Attempts under way, so that a way or a server that hangs holds up nobody else's. What takes long steps aside;
 * who was slow the last time starts there; and who was never tried leaves half of the places to those that are
 * known to be well. So a hundred servers that hang, each for another party, keep no place from anybody else.
 */
export class Lanes {
  readonly #counts = new Map<string, number>();
  /** Whether a server was slow the last time. */
  readonly #slow = new Map<string, boolean>();

  /** Whether an attempt of this urgency may begin; 0 is distress. */
  free(lane: Lane, urgency: number): boolean {
    const { way, server } = WIDTHS[lane.way];
    const room = (width: number) => (urgency === 0 ? width : Math.floor(width * SHARE));
    const { byPerson, byServers, manner, quick, untried, aside } = keysOf(lane);
    if (this.#count(byPerson) > 0) return false;
    const most = Math.max(1, room(server));
    if (byServers.some((one) => this.#count(one) >= most)) return false;
    const slow = this.#slow.get(manner);
    if (slow === true) return this.#count(aside) < room(ASIDE);
    if (this.#count(quick) >= room(way)) return false;
    return slow === false || this.#count(untried) < room(way) * UNTRIED;
  }

  take(lane: Lane): Place {
    const { byPerson, byServers, manner, quick, untried, aside } = keysOf(lane);
    const known = this.#slow.get(manner);
    const own = [byPerson, ...byServers];
    const places = known === true ? [aside] : known === false ? [quick] : [quick, untried];
    const held = [...own, ...places];
    for (const key of held) this.#add(key, 1);
    let given = false;
    return {
      slow: () => {
        this.#remember(manner, true);
        if (given || held.at(-1) === aside || this.#count(aside) >= ASIDE) return;
        for (const key of held.splice(own.length)) this.#add(key, -1);
        held.push(aside);
        this.#add(aside, 1);
      },
      quick: () => this.#remember(manner, false),
      give: () => {
        if (given) return;
        given = true;
        for (const key of held) this.#add(key, -1);
      },
    };
  }

  #remember(server: string, slow: boolean): void {
    this.#slow.delete(server);
    this.#slow.set(server, slow);
    for (const oldest of this.#slow.keys()) {
      if (this.#slow.size <= REMEMBERED) break;
      this.#slow.delete(oldest);
    }
  }

  #add(key: string, by: 1 | -1): void {
    const now = this.#count(key) + by;
    if (now === 0) this.#counts.delete(key);
    else this.#counts.set(key, now);
  }

  #count(key: string): number {
    return this.#counts.get(key) ?? 0;
  }
}

function keysOf({ way, servers, person }: Lane) {
  return {
    // Which of several was slow nobody knows, so it is said of them together.
    manner: `${way}\n\n${servers.join(' ')}`,
    quick: way,
    untried: `${way}\nuntried`,
    aside: `${way}\naside`,
    byServers: servers.map((server) => `${way}\n\n${server}`),
    byPerson: `${way}\n\n\n${person}`,
  };
}
