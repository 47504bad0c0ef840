import type { Clock } from '../time/clock.ts';
import { JUMP_MS, type Look } from './times.ts';

/** Another machine's time. */
export interface Witness {
  /** Asks for it; resolves to undefined when there is no answer. */
  ask(signal: AbortSignal): Promise<number | undefined>;
  /** It answers, and tells no time: as good as none. */
  readonly mute?: boolean;
}

interface Seen {
  dateMs: number;
  monoMs: number;
}

/** What is believed of the time. */
export interface Believed {
  /** The time to act by, epoch milliseconds. */
  nowMs: number;
  /** In a few words, when the machine's own clock isn't believed. */
  doubt?: string;
}

/** Off by more than this a clock is wrong: an answer takes seconds, and a Date has whole ones. */
const TOLERANCE_MS = 2 * 60_000;
/** So long a doubt puts things off when nobody else's time can be had. */
export const DOUBT_MS = 5 * 60_000;
/** A witness is believed for this long, and is asked again before that. */
const WITNESS_MS = 15 * 60_000;
const ASK_EVERY_MS = 10 * 60_000;
const ASK_IN_DOUBT_MS = 15_000;
const ASK_MAX_MS = 10_000;

/**
 * Holds the wall clock against the monotonic one and against other machines' answers. Set back, monotonic
 * time carries on. Set ahead, or ahead after a start, it is believed once another machine says so, or
 * after some minutes. Without any witness the machine's own clock is all there is.
 */
export class Clocks {
  readonly #clock: Clock;
  readonly #witnesses: readonly Witness[];
  #anchor: Look | undefined;
  /** The last two answers of each witness. */
  readonly #seen = new Map<Witness, Seen[]>();
  #doubtSinceMono: number | undefined;
  #askedMono = Number.NEGATIVE_INFINITY;
  #asking: Promise<void> | undefined;
  #offMs = 0;
  /** As the clocks stood before the wall clock was set ahead, unseen by any witness. */
  #older: Look | undefined;
  /** The last time is that of an earlier run, whose own clock may have been the wrong one. */
  #fromNote = false;

  /** Of several witnesses the first that has answered is believed. */
  constructor(clock: Clock, witnesses: readonly Witness[]) {
    this.#clock = clock;
    this.#witnesses = witnesses;
  }

  /** Those that may yet tell a time. */
  get #able(): readonly Witness[] {
    return this.#witnesses.filter((w) => w.mute !== true);
  }

  /** How far the wall clock is ahead of what is believed. */
  get offMs(): number {
    return this.#offMs;
  }

  /** The time at which an earlier run on the same database was seen last. */
  carryOn(notedMs: number): void {
    // Without a witness nobody could say which of the two clocks was right.
    if (this.#able.length === 0) return;
    this.#fromNote = true;
    this.#anchor = { wallMs: notedMs, monoMs: this.#clock.monoMs() };
  }

  /** The machine's clocks, but with the time that is believed. */
  believed(): Clock {
    const clock = this.#clock;
    return {
      wallMs: () => Math.floor(this.#carried() ?? clock.wallMs()),
      monoMs: () => clock.monoMs(),
      sleep: (ms, signal) => clock.sleep(ms, signal),
    };
  }

  #carried(): number | undefined {
    const at = this.#anchor;
    return at && at.wallMs + Math.max(0, this.#clock.monoMs() - at.monoMs);
  }

  /** A witness's time just now. Two that agree are believed: an answer out of a cache stands still. */
  saw(witness: Witness, dateMs: number): void {
    if (!Number.isFinite(dateMs)) return;
    const monoMs = this.#clock.monoMs();
    const seen = this.#seen.get(witness) ?? [];
    const last = seen.at(-1);
    if (last !== undefined && monoMs - last.monoMs < 1_500) return;
    this.#seen.set(witness, [...seen.slice(-1), { dateMs, monoMs }]);
  }

  /** What is believed now. Asks a witness when it is time to; nothing waits for the answer. */
  look(): Believed {
    const [wallMs, monoMs] = [this.#clock.wallMs(), this.#clock.monoMs()];
    const carriedMs = this.#carried() ?? wallMs;
    const witnessed = this.#witnessed(monoMs);
    const believed = this.#believe(wallMs, monoMs, carriedMs, witnessed);
    this.#anchor = { wallMs: believed.nowMs, monoMs };
    this.#offMs = Math.round(wallMs - believed.nowMs);
    const heard = [...this.#seen.values()].some((seen) => seen.length > 1);
    this.#ask(monoMs, believed.doubt !== undefined || !heard);
    // Whole, because a monotonic clock has fractions and a record's times have none.
    return { ...believed, nowMs: Math.floor(believed.nowMs) };
  }

  #believe(
    wallMs: number,
    monoMs: number,
    carriedMs: number,
    witnessed: number | undefined,
  ): Believed {
    if (witnessed !== undefined) {
      this.#doubtSinceMono = undefined;
      this.#fromNote = false;
      this.#older = undefined;
      const offMs = wallMs - witnessed;
      if (Math.abs(offMs) <= TOLERANCE_MS) return { nowMs: wallMs };
      return { nowMs: witnessed, doubt: `the clock is ${span(offMs)} another machine's` };
    }
    const driftMs = wallMs - carriedMs;
    const doubt = `the clock was set ${span(driftMs)} what it was`;
    if (driftMs < -JUMP_MS && this.#isAsOnce(wallMs, monoMs)) {
      this.#older = undefined;
      return { nowMs: wallMs };
    }
    if (driftMs < -JUMP_MS && !this.#fromNote) return { nowMs: carriedMs, doubt };
    if (driftMs > JUMP_MS) this.#older ??= { wallMs: carriedMs, monoMs };
    const calm = Math.abs(driftMs) <= JUMP_MS || this.#able.length === 0;
    if (!calm) this.#doubtSinceMono ??= monoMs;
    if (!calm && monoMs - (this.#doubtSinceMono ?? monoMs) < DOUBT_MS) {
      return { nowMs: carriedMs, doubt };
    }
    this.#doubtSinceMono = undefined;
    this.#fromNote = false;
    return { nowMs: wallMs };
  }

  /** The wall clock is back where it would be, had it never been set ahead. */
  #isAsOnce(wallMs: number, monoMs: number): boolean {
    const was = this.#older;
    return was !== undefined && Math.abs(wallMs - was.wallMs - (monoMs - was.monoMs)) <= JUMP_MS;
  }

  /** The time by the first witness of whom two answers agree and the last is fresh. */
  #witnessed(monoMs: number): number | undefined {
    for (const witness of this.#witnesses) {
      const [first, last] = this.#seen.get(witness) ?? [];
      if (first === undefined || last === undefined || monoMs - last.monoMs > WITNESS_MS) continue;
      const apartMs = last.dateMs - first.dateMs - (last.monoMs - first.monoMs);
      if (Math.abs(apartMs) <= 10_000) return last.dateMs + (monoMs - last.monoMs);
    }
    return undefined;
  }

  #ask(monoMs: number, urgent: boolean): void {
    const everyMs = urgent ? ASK_IN_DOUBT_MS : ASK_EVERY_MS;
    if (this.#able.length === 0 || this.#asking !== undefined) return;
    if (monoMs - this.#askedMono < everyMs) return;
    this.#askedMono = monoMs;
    this.#asking = Promise.all(this.#able.map((w) => this.#askOnce(w))).then(() => {
      this.#asking = undefined;
    });
  }

  async #askOnce(witness: Witness): Promise<void> {
    for (let i = 0; i < 2; i++) {
      const over = new AbortController();
      const timer = this.#clock.sleep(ASK_MAX_MS, over.signal).then(() => over.abort());
      const dateMs = await witness.ask(over.signal).catch(() => undefined);
      over.abort();
      await timer;
      if (dateMs === undefined) return;
      this.saw(witness, dateMs);
      if (i === 0) await this.#clock.sleep(2_000);
    }
  }

  /** Resolves when no answer is awaited: for the end, and for tests. */
  async settled(): Promise<void> {
    await this.#asking;
  }
}

/** `3 h 0 min ahead of`, `12 min behind`. */
function span(ms: number): string {
  const min = Math.round(Math.abs(ms) / 60_000);
  const length = min < 60 ? `${min} min` : `${Math.floor(min / 60)} h ${min % 60} min`;
  return `${length} ${ms > 0 ? 'ahead of' : 'behind'}`;
}
