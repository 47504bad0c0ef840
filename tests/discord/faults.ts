import type { ApiRequest } from './rest/request.ts';

/** What goes wrong with a request. `accepted` says whether it takes effect all the same. */
export type Fault =
  /** 429: topics/rate-limits.mdx. A `shared` limit is the resource's, not the bot's. */
  | { what: 'rate-limited'; retryAfterS: number; scope?: 'user' | 'global' | 'shared' }
  /** A 5xx from in front of Discord: no JSON. */
  | { what: 'status'; status: number; accepted?: boolean }
  /** A refusal with this code and no cause the stand-in knows. */
  | { what: 'code'; status: number; code: number; message?: string }
  /** The socket stays open and nothing comes. */
  | { what: 'hang'; accepted?: boolean }
  /** The socket is reset (TCP RST). */
  | { what: 'reset'; accepted?: boolean };

export interface FaultRule {
  /** Route as the stand-in names it: `POST /channels/:channel/messages`; every route when left out. */
  route?: string;
  /** Only requests about this channel. */
  channelId?: string;
  when?: (request: ApiRequest) => boolean;
  /** How many requests it meets; 1 unless set. */
  times?: number;
  fault: Fault;
}

/** Faults waiting for their requests, oldest first. */
export class Faults {
  readonly #rules: (FaultRule & { left: number; met: number })[] = [];

  /** Returns the number of requests met so far, and a way to end the fault early. */
  add(rule: FaultRule): { met(): number; stop(): void } {
    const kept = { ...rule, left: rule.times ?? 1, met: 0 };
    this.#rules.push(kept);
    return {
      met: () => kept.met,
      stop: () => {
        kept.left = 0;
      },
    };
  }

  take(request: ApiRequest): Fault | undefined {
    const rule = this.#rules.find(
      (r) =>
        r.left > 0 &&
        (r.route === undefined || r.route === request.route) &&
        (r.channelId === undefined || r.channelId === request.params.channel) &&
        (r.when === undefined || r.when(request)),
    );
    if (rule === undefined) return undefined;
    rule.left -= 1;
    rule.met += 1;
    return rule.fault;
  }

  clear(): void {
    this.#rules.length = 0;
  }
}
