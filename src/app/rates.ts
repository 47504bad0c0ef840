import { RATES, type Rate, type RateName } from '../limits.ts';
import { Refusal } from '../say/refusal.ts';
import type { Call, Sub } from './command.ts';

/** Counts kept at a time; the oldest give way. */
const KEPT = 20_000;

interface Count {
  sinceMs: number;
  count: number;
}

/** Counts what is asked, in memory: a restart begins anew. Held on a chat that strangers can reach. */
export class Rates {
  readonly #counts = new Map<string, Count>();

  /**
   * Counts one command.
   *
   * @returns why it has to wait, said kindly; undefined when it may go on
   */
  refusal(sub: Sub, call: Call): Refusal | undefined {
    if (sub.counts === 'vital') return this.counted(['vital'], call);
    return this.counted(['command', 'server', 'bot', ...(sub.counts ?? [])], call);
  }

  /** Counts each of these once for a call; why it has to wait, where there is no room. */
  counted(names: readonly RateName[], call: Call): Refusal | undefined {
    for (const name of names) {
      const rate: Rate = RATES[name];
      const waitMs = this.#take(`${name} ${whose(rate, call)}`, rate, call.atMs);
      if (waitMs > 0) return tooOften(name, waitMs);
    }
    return undefined;
  }

  /** Milliseconds until there is room; 0 when it was counted. */
  #take(key: string, { most, inMs }: Rate, nowMs: number): number {
    const known = this.#counts.get(key);
    // A clock that was set back begins a count anew.
    const old = known === undefined || nowMs < known.sinceMs || nowMs - known.sinceMs >= inMs;
    const count = old ? { sinceMs: nowMs, count: 0 } : known;
    if (count.count >= most) return count.sinceMs + inMs - nowMs;
    count.count += 1;
    this.#counts.delete(key);
    this.#counts.set(key, count);
    for (const oldest of this.#counts.keys()) {
      if (this.#counts.size <= KEPT) break;
      this.#counts.delete(oldest);
    }
    return 0;
  }
}

function whose({ per }: Rate, { actor, where, trip }: Call): string {
  switch (per) {
    case 'person':
      return actor.id;
    case 'server':
      return where.guild ?? where.channel;
    case 'trip':
      return trip ?? where.channel;
    case 'bot':
    case 'address':
      return '';
  }
}

function tooOften(name: RateName, waitMs: number): Refusal {
  const { most, inMs, what }: Rate = RATES[name];
  const within = inMs >= 86_400_000 ? 'a day' : inMs >= 3_600_000 ? 'an hour' : 'a minute';
  const minutes = Math.ceil(waitMs / 60_000);
  const wait =
    waitMs < 60_000
      ? `${Math.ceil(waitMs / 1000)} s`
      : minutes < 60
        ? `${minutes} min`
        : `${Math.ceil(minutes / 60)} h`;
  return new Refusal('too-often', [
    `${most} ${what} within ${within} are as many as tagline takes; go on in ${wait}.`,
    name === 'vital'
      ? 'What you have posted stands. Anybody else of the roster can post at once.'
      : 'Signs of life, trouble, the way down and answers to an alarm always go in.',
  ]);
}
