import type { Logger } from 'pino';
import type { Reply } from '../../say/reply.ts';
import type { Store } from '../../store/port.ts';
import type { Clock } from '../../time/clock.ts';
import { listBoards, readBoard, writeBoardList } from './fact.ts';
import type { BoardChannel, BoardResult, Boards } from './port.ts';
import { showMessage } from './show-message.ts';

export interface BoardView {
  channel: string;
  reply: Reply;
  /** False once nothing changes any more by itself: everyone is down, or the trip is closed. */
  live: boolean;
  /** The trip has ended: this is its last board. */
  ended: boolean;
}

export interface BoardKeeperParts {
  store: Store;
  clock: Clock;
  log: Pick<Logger, 'info' | 'warn' | 'error'>;
  channel: BoardChannel;
  /** The board of a trip now; undefined when the trip is gone. */
  view(trip: string, nowMs: number): Promise<BoardView | undefined>;
  /** A message is changed at most once in this time: Discord bounds edits, and nobody reads faster. */
  everyMs?: number;
  /** A board on which nothing was told is made anew this often: time itself changes it. */
  idleMs?: number;
}

const EVERY_MS = 5_000;
const IDLE_MS = 10 * 60_000;
const RETRY_MS = [10_000, 30_000, 120_000, 300_000] as const;

interface Entry {
  dirty: boolean;
  /** Monotonic time of the last update; far back before the first. */
  lastMono: number;
  failures: number;
  live: boolean;
  /** False when nobody asked for a board: nothing is kept of it then. */
  wanted: boolean;
  wake: AbortController;
}

/** Brings boards up to date after every change and as time goes on. What can't be told to anybody stands in the log. */
export class BoardKeeper implements Boards {
  readonly #parts: BoardKeeperParts;
  readonly #everyMs: number;
  readonly #idleMs: number;
  readonly #entries = new Map<string, Entry>();
  readonly #loops = new Map<string, Promise<void>>();
  /** Per trip, so that two updates never overtake each other. */
  readonly #turns = new Map<string, Promise<unknown>>();
  #stopped = false;

  constructor(parts: BoardKeeperParts) {
    this.#parts = parts;
    this.#everyMs = parts.everyMs ?? EVERY_MS;
    this.#idleMs = parts.idleMs ?? IDLE_MS;
  }

  /** Takes up the boards there were before the process ended; each is brought up to date at once. */
  async start(): Promise<void> {
    for (const trip of await listBoards(this.#parts.store)) this.touch(trip);
  }

  touch(trip: string): void {
    if (this.#stopped) return;
    const entry = this.#entry(trip);
    entry.dirty = true;
    entry.wake.abort();
    this.#run(trip);
  }

  async show(trip: string): Promise<BoardResult> {
    const entry = this.#entry(trip);
    entry.dirty = false;
    const result = await this.#inTurn(trip, () => this.#update(trip, entry, true));
    this.#run(trip);
    return result;
  }

  async remove(trip: string): Promise<boolean> {
    return this.#inTurn(trip, async () => {
      const { store, channel, log } = this.#parts;
      await this.#list(trip, false);
      const place = (await readBoard(store, trip))?.message;
      if (place === undefined) return true;
      const removed = await channel.remove(place);
      if (!removed.ok) log.warn({ trip, why: removed.why }, 'board could not be removed');
      return removed.ok || removed.why === 'gone';
    });
  }

  /** Stops waiting; updates under way are finished. */
  async close(): Promise<void> {
    this.#stopped = true;
    for (const entry of this.#entries.values()) entry.wake.abort();
    await Promise.allSettled([...this.#loops.values(), ...this.#turns.values()]);
  }

  #entry(trip: string): Entry {
    const known = this.#entries.get(trip);
    if (known !== undefined) return known;
    const fresh = {
      dirty: false,
      lastMono: Number.NEGATIVE_INFINITY,
      failures: 0,
      live: false,
      wanted: false,
      wake: new AbortController(),
    };
    this.#entries.set(trip, fresh);
    return fresh;
  }

  #run(trip: string): void {
    if (this.#loops.has(trip) || this.#stopped) return;
    const loop = this.#loop(trip).finally(() => {
      this.#loops.delete(trip);
      // A touch that came while the loop was ending.
      if (this.#entries.get(trip)?.dirty === true) this.#run(trip);
    });
    this.#loops.set(trip, loop);
  }

  async #loop(trip: string): Promise<void> {
    const entry = this.#entry(trip);
    while (!this.#stopped && (entry.dirty || entry.live)) {
      const waitMs = this.#waitMs(entry);
      if (waitMs > 0) {
        entry.wake = new AbortController();
        await this.#parts.clock.sleep(waitMs, entry.wake.signal);
        // Woken early: there may be less, but still some time to wait.
        if (this.#stopped || this.#waitMs(entry) > 0) continue;
      }
      entry.dirty = false;
      await this.#inTurn(trip, () => this.#update(trip, entry, false));
    }
    if (!entry.dirty && !entry.wanted) this.#entries.delete(trip);
  }

  #waitMs(entry: Entry): number {
    const since = this.#parts.clock.monoMs() - entry.lastMono;
    const retry = RETRY_MS[Math.min(entry.failures, RETRY_MS.length) - 1];
    const gap = retry ?? (entry.dirty ? this.#everyMs : this.#idleMs);
    return Math.max(0, gap - since);
  }

  async #inTurn<T>(trip: string, work: () => Promise<T>): Promise<T> {
    const before = this.#turns.get(trip) ?? Promise.resolve();
    const turn = before.then(work, work);
    this.#turns.set(trip, turn);
    try {
      return await turn;
    } finally {
      if (this.#turns.get(trip) === turn) this.#turns.delete(trip);
    }
  }

  async #update(trip: string, entry: Entry, asked: boolean): Promise<BoardResult> {
    const { store, clock, log, channel } = this.#parts;
    entry.lastMono = clock.monoMs();
    const none: BoardResult = { shown: false, pinned: false, bare: false };
    try {
      // Nobody wants a board until /board was used.
      if (!asked && (await readBoard(store, trip)) === undefined) return this.#over(entry, none);
      const nowMs = clock.wallMs();
      const view = await this.#parts.view(trip, nowMs);
      if (view === undefined) {
        await this.#list(trip, false);
        return this.#over(entry, none);
      }
      const result = await showMessage(
        { store, channel },
        {
          channel: view.channel,
          message: { reply: view.reply, trip, nowMs },
          pin: asked,
          last: view.ended,
        },
      );
      entry.wanted = !view.ended;
      entry.live = view.live && result.shown;
      // A channel that may not be written is not knocked at with every post.
      const failed = !result.shown || result.why === 'later';
      entry.failures = failed ? entry.failures + 1 : 0;
      entry.dirty ||= result.why === 'later';
      if (result.why !== undefined)
        log.warn({ trip, why: result.why }, 'board not as it should be');
      // Whatever came of it: after a restart it is tried anew, until the last one is there.
      await this.#list(trip, !(view.ended && (result.shown || result.why !== 'later')));
      return result;
    } catch (error) {
      // A full disk or a fault of ours: the board is behind, the trip is not. Tried again later.
      log.error({ err: error, trip }, 'board could not be made');
      entry.failures += 1;
      entry.dirty = true;
      return { ...none, why: 'later' };
    }
  }

  #over(entry: Entry, result: BoardResult): BoardResult {
    entry.live = false;
    entry.wanted = false;
    return result;
  }

  async #list(trip: string, wanted: boolean): Promise<void> {
    await this.#inTurn('', async () => {
      const trips = await listBoards(this.#parts.store);
      if (trips.includes(trip) === wanted) return;
      const others = trips.filter((t) => t !== trip);
      await writeBoardList(this.#parts.store, wanted ? [...others, trip] : others);
    });
  }
}
