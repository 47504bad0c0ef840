import { UnreadableRecord } from '../record/unreadable.ts';
import type { DeadlineRow } from '../store/port.ts';
import { Asking } from './asking.ts';
import { Clocks } from './clocks.ts';
import { type FireJob, fireTrip, type Outage } from './fire.ts';
import { Outbox } from './outbox.ts';
import type { WatchParts } from './ports.ts';
import { findEarly, retellDue } from './retell.ts';
import { lookAgain, setAside } from './set-aside.ts';
import { ForwardTime, JUMP_MS, type Look } from './times.ts';

/** Longest sleep: the watch looks at least this often, and shows that it lives. */
export const SLEEP_MAX_MS = 30_000;
/** A gap this long between two ticks is an outage, and said. */
const OUTAGE_MS = 3 * 60_000;
/** Deadlines taken from the store at a time, and trips handled side by side. */
const DUE_LOT = 500;
const SIDE_BY_SIDE = 128;
/** Others take a lot that was claimed and not handled in this time. */
const DUE_LEASE_MS = 20_000;
/** After a failure of the store the loop waits this long. */
const AFTER_FAULT_MS = 2_000;
/** How often it is noted in the store that the watch lives, when nothing else happens. */
const NOTE_EVERY_MS = 15_000;
/** How often trips that can't be read are tried again. */
const AGAIN_EVERY_MS = 5 * 60_000;

/** Where attempts had got, which never goes back, and the time that was believed. */
const TICKED = 'watch.ticked';
const BELIEVED = 'watch.believed';

export interface LoopStatus {
  /** Monotonic time of the last tick that went through; undefined before the first. */
  tickedMonoMs?: number;
  /** Ticks that failed in a row. */
  faults: number;
  inFlight: number;
  /** Trips whose deadlines could not be handled when it was last tried. */
  failing?: readonly string[];
  /** Why the machine's clock isn't believed, when it isn't. */
  doubt?: string;
  /** How far the machine's clock is ahead of the time that is believed. */
  clockOffMs: number;
}

/** The watch as a running thing. Nothing about trips is kept in memory: a restart costs nothing. */
export class Watch {
  readonly #parts: WatchParts;
  readonly #time: ForwardTime;
  readonly #outbox: Outbox;
  readonly #asking: Asking;
  readonly #clocks: Clocks;
  /** The time by which it was last looked. */
  #lookedMs: number | undefined;
  #doubt: string | undefined;
  #noted: Look | undefined;
  #againMonoMs = 0;
  #tickedMonoMs: number | undefined;
  #faults = 0;
  readonly #failing = new Set<string>();
  #wake = new AbortController();

  constructor(given: WatchParts) {
    this.#clocks = new Clocks(given.clock, given.witnesses ?? []);
    // Everything the watch does and says goes by the time that is believed.
    const parts = { ...given, clock: this.#clocks.believed() };
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
      this.#parts.store.nextDue(this.#parts.owner),
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
      failing: [...this.#failing],
      clockOffMs: this.#clocks.offMs,
      ...(this.#doubt === undefined ? {} : { doubt: this.#doubt }),
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
    await this.#clocks.settled();
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
    const { store, owner } = this.#parts;
    const [dueMs, noticeMs] = await Promise.all([store.nextDue(owner), store.nextNoticeAt()]);
    const waitMs = Math.min(
      dueMs === undefined ? SLEEP_MAX_MS : dueMs - this.#clocks.look().nowMs,
      noticeMs === undefined ? SLEEP_MAX_MS : noticeMs - this.#time.nowMs(),
    );
    // A full outbox has ready notices that nobody takes; whatever lands first wakes the loop.
    return Math.min(Math.max(waitMs, this.#outbox.inFlight > 0 ? 250 : 10), SLEEP_MAX_MS);
  }

  /** Resolves to how many deadlines could not be handled. */
  async #fire(): Promise<number> {
    const { nowMs, outage } = await this.#lookAtClocks();
    await this.#lookAgain();
    let failed = 0;
    for (;;) {
      const due = await this.#parts.store.claimDue({
        nowMs,
        owner: this.#parts.owner,
        leaseUntilMs: nowMs + DUE_LEASE_MS,
        limit: DUE_LOT,
      });
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
        const [trip, keys] = jobs[i + n] as [string, string[]];
        if (result.status === 'fulfilled') {
          this.#failing.delete(trip);
          if (keys.some((key) => key.startsWith('ask:'))) this.#asking.add(trip);
          continue;
        }
        // One trip that can't be read must not keep the others from being watched.
        failed += 1;
        this.#failing.add(trip);
        this.#parts.counters.fault('fire');
        this.#parts.log.error({ err: result.reason, trip }, 'a deadline could not be handled');
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

  /** The time to act by, and whether nobody was watching until now. */
  async #lookAtClocks(): Promise<{ nowMs: number; outage: Outage | undefined }> {
    const { store } = this.#parts;
    const first = this.#lookedMs === undefined;
    const noted = async (fact: string) => Number((await store.getFact(fact)) ?? Number.NaN);
    const before = this.#lookedMs ?? (await noted(BELIEVED));
    if (first && !Number.isNaN(before)) {
      this.#time.raiseTo(await noted(TICKED));
      this.#clocks.carryOn(before);
    }
    const { nowMs, doubt } = this.#clocks.look();
    this.#lookedMs = nowMs;
    this.#say(doubt);
    // It was ahead before: what it told then comes again when its time has really come.
    if (nowMs < before - JUMP_MS) await findEarly(this.#parts, nowMs);
    await retellDue(store, nowMs);
    return { nowMs, outage: Number.isNaN(before) ? undefined : outageOf(before, nowMs) };
  }

  /** A doubt about the clock is said when it begins and when it ends. */
  #say(doubt: string | undefined): void {
    const { log } = this.#parts;
    if ((doubt === undefined) !== (this.#doubt === undefined)) {
      if (doubt === undefined) log.warn('the clock is believed again');
      else log.error({ doubt }, 'the clock of this machine is in doubt');
    }
    this.#doubt = doubt;
  }

  async #note(nowMs: number): Promise<void> {
    const now = { wallMs: nowMs, monoMs: this.#parts.clock.monoMs() };
    const noted = this.#noted;
    if (noted !== undefined && now.monoMs - noted.monoMs < NOTE_EVERY_MS) return;
    this.#noted = now;
    const { store } = this.#parts;
    // What was due has been told by now: a note that can't be written must not keep it from going out.
    await Promise.all([
      store.setFact(TICKED, String(Math.round(this.#time.nowMs()))),
      store.setFact(BELIEVED, String(Math.round(nowMs))),
    ]).catch((error: unknown) => {
      this.#parts.counters.fault('loop');
      this.#parts.log.error({ err: error }, 'the watch could not note that it looked');
    });
  }
}

function outageOf(fromMs: number, toMs: number): Outage | undefined {
  return toMs - fromMs > OUTAGE_MS ? { fromMs, toMs } : undefined;
}
