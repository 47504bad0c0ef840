import { UnreadableRecord } from '../record/unreadable.ts';
import type { DeadlineRow } from '../store/port.ts';
import { Asking } from './asking.ts';
import { type FireJob, fireTrip, type Outage } from './fire.ts';
import { Outbox } from './outbox.ts';
import type { WatchParts } from './ports.ts';
import { lookAgain, setAside } from './set-aside.ts';
import { ForwardTime, jumpMs, type Look } from './times.ts';

/** Longest sleep: the watch looks at least this often, and shows that it lives. */
export const SLEEP_MAX_MS = 30_000;
/** A gap this long between two ticks is an outage, and said. */
const OUTAGE_MS = 3 * 60_000;
/** Deadlines taken from the store at a time, and trips handled side by side. */
const DUE_LOT = 500;
const SIDE_BY_SIDE = 128;
/** After a failure of the store the loop waits this long. */
const AFTER_FAULT_MS = 2_000;
/** How often it is noted in the store that the watch lives, when nothing else happens. */
const NOTE_EVERY_MS = 15_000;
/** How often trips that can't be read are tried again. */
const AGAIN_EVERY_MS = 5 * 60_000;

const TICKED = 'watch.ticked';

export interface LoopStatus {
  /** Monotonic time of the last tick that went through; undefined before the first. */
  tickedMonoMs?: number;
  /** Ticks that failed in a row. */
  faults: number;
  inFlight: number;
}

/** The watch as a running thing. Nothing about trips is kept in memory: a restart costs nothing. */
export class Watch {
  readonly #parts: WatchParts;
  readonly #time: ForwardTime;
  readonly #outbox: Outbox;
  readonly #asking: Asking;
  #look: Look | undefined;
  #noted: Look | undefined;
  #againMonoMs = 0;
  #tickedMonoMs: number | undefined;
  #faults = 0;
  #wake = new AbortController();

  constructor(parts: WatchParts) {
    this.#parts = parts;
    this.#time = new ForwardTime(parts.clock);
    this.#asking = new Asking(parts, () => this.poke());
    this.#outbox = new Outbox(
      parts,
      () => this.#time.nowMs(),
      () => this.poke(),
    );
  }

  /** Something has changed: look now. Safe to call from anywhere, at any time. */
  poke(): void {
    this.#wake.abort();
  }

  /** When there is something to do next; may lie in the past. */
  async nextAt(): Promise<number | undefined> {
    const [dueMs, noticeMs] = await Promise.all([
      this.#parts.store.nextDue(),
      this.#parts.store.nextNoticeAt(),
    ]);
    if (dueMs === undefined || noticeMs === undefined) return dueMs ?? noticeMs;
    return Math.min(dueMs, noticeMs);
  }

  /** Does everything there is to do now and waits for it: for scripts and tests. */
  async tick(): Promise<void> {
    await this.#fire();
    await this.#asking.done();
    await this.#outbox.drain();
  }

  status(): LoopStatus {
    return {
      faults: this.#faults,
      inFlight: this.#outbox.inFlight,
      ...(this.#tickedMonoMs === undefined ? {} : { tickedMonoMs: this.#tickedMonoMs }),
    };
  }

  /** Runs until `signal` aborts, then lets what is on its way land. */
  async run(signal: AbortSignal): Promise<void> {
    const stop = () => this.poke();
    signal.addEventListener('abort', stop);
    while (!signal.aborted) {
      this.#wake = new AbortController();
      const waitMs = await this.#turn();
      if (signal.aborted) break;
      await this.#parts.clock.sleep(waitMs, this.#wake.signal);
    }
    signal.removeEventListener('abort', stop);
    await this.#asking.stop();
    await this.#outbox.landed();
  }

  /** One turn of the loop; resolves to how long to sleep. Never rejects: the loop must go on. */
  async #turn(): Promise<number> {
    try {
      const failed = await this.#fire();
      const started = await this.#outbox.start();
      this.#faults = 0;
      if (failed > 0) return AFTER_FAULT_MS;
      return started > 0 ? 0 : await this.#waitMs();
    } catch (error) {
      this.#faults += 1;
      this.#parts.counters.fault('loop');
      this.#parts.log.error({ err: error, faults: this.#faults }, 'the watch could not look');
      return AFTER_FAULT_MS;
    }
  }

  /** Each by its own time: deadlines by the wall clock, attempts by the time that never goes back. */
  async #waitMs(): Promise<number> {
    const { store, clock } = this.#parts;
    const [dueMs, noticeMs] = await Promise.all([store.nextDue(), store.nextNoticeAt()]);
    const waitMs = Math.min(
      dueMs === undefined ? SLEEP_MAX_MS : dueMs - clock.wallMs(),
      noticeMs === undefined ? SLEEP_MAX_MS : noticeMs - this.#time.nowMs(),
    );
    // A full outbox has ready notices that nobody takes; whatever lands first wakes the loop.
    return Math.min(Math.max(waitMs, this.#outbox.inFlight > 0 ? 250 : 10), SLEEP_MAX_MS);
  }

  /** Resolves to how many deadlines could not be handled. */
  async #fire(): Promise<number> {
    const outage = await this.#lookAtClocks();
    const nowMs = this.#parts.clock.wallMs();
    await this.#lookAgain();
    let failed = 0;
    for (;;) {
      const due = await this.#parts.store.due(nowMs, DUE_LOT);
      if (due.length === 0) break;
      failed = await this.#fireLot(due, nowMs, outage);
      // What failed is due still and would come again at once: the next tick tries it.
      if (failed > 0 || due.length < DUE_LOT) break;
    }
    await this.#note(nowMs);
    this.#tickedMonoMs = this.#parts.clock.monoMs();
    return failed;
  }

  async #fireLot(
    due: readonly DeadlineRow[],
    nowMs: number,
    outage: Outage | undefined,
  ): Promise<number> {
    const byTrip = new Map<string, string[]>();
    for (const { trip, key } of due) byTrip.set(trip, [...(byTrip.get(trip) ?? []), key]);
    const jobs = [...byTrip];
    let failed = 0;
    for (let i = 0; i < jobs.length; i += SIDE_BY_SIDE) {
      const results = await Promise.allSettled(
        jobs
          .slice(i, i + SIDE_BY_SIDE)
          .map(([trip, keys]) => this.#fireOne({ trip, keys, nowMs, outage })),
      );
      for (const [n, result] of results.entries()) {
        if (result.status === 'fulfilled') {
          const [trip, keys] = jobs[i + n] as [string, string[]];
          if (keys.some((key) => key.startsWith('ask:'))) this.#asking.add(trip);
          continue;
        }
        // One trip that can't be read must not keep the others from being watched.
        failed += 1;
        this.#parts.counters.fault('fire');
        this.#parts.log.error({ err: result.reason }, 'a deadline could not be handled');
      }
    }
    return failed;
  }

  async #lookAgain(): Promise<void> {
    const nowMs = this.#parts.clock.monoMs();
    if (nowMs - this.#againMonoMs < AGAIN_EVERY_MS) return;
    this.#againMonoMs = nowMs;
    await lookAgain(this.#parts);
  }

  /** A trip that can't be read is set aside, so that its deadlines hold up nobody else's. */
  async #fireOne(job: FireJob): Promise<void> {
    try {
      await fireTrip(this.#parts, job);
    } catch (error) {
      if (!(error instanceof UnreadableRecord)) throw error;
      await setAside(this.#parts, error, job.keys);
    }
  }

  /** Whether nobody was watching until now: by the store's note at the start, by the clocks later. */
  async #lookAtClocks(): Promise<Outage | undefined> {
    const { clock, store, log } = this.#parts;
    const before = this.#look;
    const now = { wallMs: clock.wallMs(), monoMs: clock.monoMs() };
    this.#look = now;
    if (before === undefined) {
      const noted = Number((await store.getFact(TICKED)) ?? Number.NaN);
      if (Number.isNaN(noted)) return undefined;
      this.#time.raiseTo(noted);
      return outageOf(noted, now.wallMs);
    }
    const jumped = jumpMs(before, now);
    if (jumped !== 0) log.warn({ jumpedMs: Math.round(jumped) }, 'the wall clock was set');
    return outageOf(before.wallMs, now.wallMs);
  }

  async #note(nowMs: number): Promise<void> {
    const now = { wallMs: nowMs, monoMs: this.#parts.clock.monoMs() };
    const noted = this.#noted;
    if (noted !== undefined && now.monoMs - noted.monoMs < NOTE_EVERY_MS) return;
    this.#noted = now;
    const ticked = String(Math.round(this.#time.nowMs()));
    // What was due has been told by now: a note that can't be written must not keep it from going out.
    await this.#parts.store.setFact(TICKED, ticked).catch((error: unknown) => {
      this.#parts.counters.fault('loop');
      this.#parts.log.error({ err: error }, 'the watch could not note that it looked');
    });
  }
}

function outageOf(fromMs: number, toMs: number): Outage | undefined {
  return toMs - fromMs > OUTAGE_MS ? { fromMs, toMs } : undefined;
}
