/** The real bot, store and watch, with a clock and channels that do what a schedule says. */
import { pino } from 'pino';
import type { App } from '../../../src/app/app.ts';
import type { Call, RawArgs } from '../../../src/app/command.ts';
import { dispatch } from '../../../src/app/dispatch.ts';
import { watchParts } from '../../../src/app/watch/parts.ts';
import { Watch } from '../../../src/delivery/loop.ts';
import type { Envelope, Sent } from '../../../src/delivery/ports.ts';
import { bare } from '../../../src/say/message.ts';
import type { Reply } from '../../../src/say/reply.ts';
import type { Store } from '../../../src/store/port.ts';
import { countedIds } from '../../../src/system/ids.ts';
import type { Clock } from '../../../src/time/clock.ts';
import { bareBot } from '../../helpers/bot.ts';
import { testStore } from '../../helpers/store.ts';

export type WayName = 'channel' | 'dm:dana' | 'email:dana' | 'email:pal';
export type Fault = 'works' | 'never' | 'later' | 'slow-then-fault';

export interface Shown {
  way: WayName;
  atMs: number;
  monoMs: number;
  nonce: string;
  text: string;
}

/** A clock whose wall can be set; sleeping is done by the schedule, never here. */
export class SimClock implements Clock {
  wall: number;
  /** With a fraction, as the machine's own has. */
  mono = 1000.37;
  constructor(startMs: number) {
    this.wall = startMs;
  }
  wallMs = () => this.wall;
  monoMs = () => this.mono;
  pass(ms: number): void {
    this.wall += ms;
    this.mono += ms + 0.013;
  }
  /** Resolves when given up only: nothing in a schedule hangs for good. */
  sleep(ms: number, signal?: AbortSignal): Promise<void> {
    if (ms <= 0 || signal?.aborted === true) return Promise.resolve();
    return new Promise((resolve) => signal?.addEventListener('abort', () => resolve()));
  }
}

/** How long Discord folds two sends with one nonce: "a few minutes" (resources/message.mdx). */
export const NONCE_MS = 3 * 60_000;

class Crash extends Error {}

export class World {
  readonly clock: SimClock;
  readonly store: Store;
  readonly app: App;
  readonly shown: Shown[] = [];
  readonly faults = new Map<WayName, Fault>();
  /** The process dies at the next send: before the other side has it, or after. */
  dieAt: 'before' | 'after' | undefined;
  watch: Watch;
  #dead = { dead: false };
  #starts = 0;
  #calls = 0;

  constructor(startMs: number, path = ':memory:') {
    this.clock = new SimClock(startMs);
    this.store = testStore(path);
    this.app = bareBot({
      store: this.store,
      clock: this.clock,
      ids: countedIds(),
      log: pino({ level: 'silent' }),
    });
    this.watch = this.#start();
  }

  /** A new process: nothing but the database is left of the old one, whose leases it takes over. */
  async restart(): Promise<void> {
    this.#dead.dead = true;
    await this.store.releaseLeases(this.#owner());
    this.watch = this.#start();
  }

  #owner(): string {
    return `sim/${this.#starts}/0`;
  }

  #start(): Watch {
    this.#dead = { dead: false };
    this.dieAt = undefined;
    this.#starts += 1;
    const store = mortal(this.store, this.#dead);
    return new Watch({
      ...watchParts({ ...this.app, store }, { ways: {}, owner: this.#owner() }),
      ways: {
        channel: (_channel, envelope) => this.#take('channel', envelope),
        dm: ({ name }, envelope) => this.#take(`dm:${name.toLowerCase()}` as WayName, envelope),
        email: ({ address }, envelope) =>
          this.#take(`email:${address.split('@')[0]}` as WayName, envelope),
      },
    });
  }

  get dead(): boolean {
    return this.#dead.dead;
  }

  /** Lets the watch do what is due; a crash ends it where it stands. */
  async tick(): Promise<void> {
    if (this.#dead.dead) return;
    await this.watch.tick().catch((error: unknown) => {
      if (!this.#dead.dead) throw error;
    });
  }

  /** Time passes, with everything that falls due in it, up to the moment the process dies. */
  async pass(ms: number): Promise<void> {
    let leftMs = ms;
    for (let steps = 0; ; steps++) {
      if (steps > 5000) throw new Error('the watch does not come to rest');
      if (this.#dead.dead) return;
      const nextMs = await this.watch.nextAt();
      // As the real loop: at least every half minute, here at least every hour, and when due.
      const untilMs = Math.max((nextMs ?? Number.POSITIVE_INFINITY) - this.clock.wall, 1);
      const waitMs = Math.min(untilMs, 3_600_000, leftMs);
      this.clock.pass(waitMs);
      leftMs -= waitMs;
      await this.tick();
      if (leftMs <= 0) return;
    }
  }

  async say(who: string, path: string, args: RawArgs, id?: string): Promise<Reply> {
    this.#calls += 1;
    const call: Call = {
      id: id ?? `call-${this.#calls}`,
      atMs: this.clock.wall,
      actor: { id: `u-${who.toLowerCase()}`, name: who },
      where: { channel: 'c1', direct: false },
    };
    return dispatch(this.app, call, path, args);
  }

  async #take(way: WayName, envelope: Envelope): Promise<Sent> {
    if (this.dieAt === 'before') this.#die();
    const fault = this.faults.get(way) ?? 'works';
    if (fault === 'never') return { ok: false, retry: 'never', why: 'sim-never' };
    if (fault === 'later') return { ok: false, retry: 'later', why: 'sim-later' };
    if (fault === 'slow-then-fault') throw new Error('a fault of ours');
    const twice = this.shown.some(
      (s) => s.way === way && s.nonce === envelope.nonce && this.clock.mono - s.monoMs <= NONCE_MS,
    );
    if (!twice) {
      this.shown.push({
        way,
        atMs: this.clock.wall,
        monoMs: this.clock.mono,
        nonce: envelope.nonce,
        text: [envelope.message.subject, ...envelope.message.lines.map(bare)].join('\n'),
      });
    }
    // A mail server folds nothing, so only Discord's ways die between sending and marking.
    if (this.dieAt === 'after' && !way.startsWith('email')) this.#die();
    return { ok: true, receipt: 'sim' };
  }

  #die(): never {
    this.#dead.dead = true;
    throw new Crash('killed');
  }

  async close(): Promise<void> {
    await this.store.close();
  }
}

/** The store as a process sees it that may be killed: dead, it writes nothing more. */
function mortal(store: Store, life: { dead: boolean }): Store {
  return new Proxy(store, {
    get(target, name) {
      const value = target[name as keyof Store];
      if (typeof value !== 'function') return value;
      return (...args: never[]) => {
        if (life.dead) return Promise.reject(new Crash('killed'));
        return (value as (...a: never[]) => unknown).apply(target, args);
      };
    },
  });
}
