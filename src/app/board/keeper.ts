import type { Logger } from 'pino';
import type { Reply } from '../../say/reply.ts';
import type { BoardRow, Store } from '../../store/port.ts';
import type { Clock } from '../../time/clock.ts';
import { whileHeld } from '../holds.ts';
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
  /** This process's name among those on the same database. */
  owner: string;
  /** The board of a trip now; undefined when the trip is gone. */
  view(trip: string, nowMs: number): Promise<BoardView | undefined>;
  /** A message is changed at most once in this time: Discord bounds edits, and nobody reads faster. */
  everyMs?: number;
  /** A board on which nothing was told is made anew this often: time itself changes it. */
  idleMs?: number;
}

const EVERY_MS = 5_000;
const IDLE_MS = 10 * 60_000;
/** How often somebody who asks tries while another process is at it. */
const TRIES = 10;
const TRY_AGAIN_MS = 500;
const NOTHING: BoardResult = { shown: false, pinned: false, bare: false };
const RETRY_MS = [10_000, 30_000, 120_000, 300_000] as const;

interface Entry {
  dirty: boolean;
  /** Monotonic time of the last update; far back before the first. */
  lastMono: number;
  failures: number;
  live: boolean;
  /** False when nobody asked for a board: nothing is kept of it then. */
  wanted: boolean;
  /** Brought up to date whoever did that before: this release may show more. */
  anew: boolean;
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
    for (const trip of await this.#parts.store.wantedBoards()) {
      this.#entry(trip).anew = true;
      this.touch(trip);
    }
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
      const row = await store.board(trip);
      if (row === undefined) return true;
      await this.#want(trip, false);
      if (row.message === undefined) return true;
      const removed = await channel.remove(row.message);
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
      anew: false,
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

  /** One process at a time, so that two never post two boards. */
  async #update(trip: string, entry: Entry, asked: boolean): Promise<BoardResult> {
    entry.lastMono = this.#parts.clock.monoMs();
    try {
      // Nobody wants a board until /board was used.
      if (!asked && (await this.#parts.store.board(trip)) === undefined) return over(entry);
      for (let tries = asked ? TRIES : 1; tries > 0; tries--) {
        const done = await whileHeld(this.#parts, `board:${trip}`, () =>
          this.#updateHeld(trip, entry, asked),
        );
        if (done !== undefined) return done.value;
        if (tries > 1) await this.#parts.clock.sleep(TRY_AGAIN_MS);
      }
      // Another process is at it. Looked at again, in case it ended in the middle of it.
      entry.dirty = true;
      return { ...NOTHING, why: 'later' };
    } catch (error) {
      // A full disk or a fault of ours: the board is behind, the trip is not. Tried again later.
      this.#parts.log.error({ err: error, trip }, 'board could not be made');
      entry.failures += 1;
      entry.dirty = true;
      return { ...NOTHING, why: 'later' };
    }
  }

  async #updateHeld(trip: string, entry: Entry, asked: boolean): Promise<BoardResult> {
    const { store, clock, log, channel } = this.#parts;
    const nowMs = clock.wallMs();
    const seq = (await store.trip(trip))?.seq ?? 0;
    const row = await store.board(trip);
    if (!asked && !entry.anew && this.#isDone(row, seq, nowMs)) {
      // Looked at now and then all the same, in case the other process has ended.
      entry.wanted = entry.live = row?.wanted === true;
      return { ...NOTHING, shown: true };
    }
    entry.anew = false;
    const view = await this.#parts.view(trip, nowMs);
    if (view === undefined) {
      await this.#want(trip, false);
      return over(entry);
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
    if (result.why !== undefined) log.warn({ trip, why: result.why }, 'board not as it should be');
    // Whatever came of it: after a restart it is tried anew, until the last one is there.
    const wanted = !(view.ended && (result.shown || result.why !== 'later'));
    await this.#want(trip, wanted, result.shown ? { atMs: nowMs, seq } : undefined);
    return result;
  }

  /** Another process has brought it up to date. */
  #isDone(row: BoardRow | undefined, seq: number, nowMs: number): boolean {
    const shown = row?.shown;
    if (shown === undefined || shown.by === this.#parts.owner) return false;
    return shown.seq >= seq && Math.abs(nowMs - shown.atMs) < this.#idleMs;
  }

  async #want(trip: string, wanted: boolean, shown?: { atMs: number; seq: number }): Promise<void> {
    const { store, owner } = this.#parts;
    const row = await store.board(trip);
    if (row === undefined) return;
    const next: BoardRow = { ...row, wanted };
    if (shown !== undefined) next.shown = { ...shown, by: owner };
    await store.setBoard(trip, next);
  }
}

function over(entry: Entry): BoardResult {
  entry.live = false;
  entry.wanted = false;
  return NOTHING;
}
