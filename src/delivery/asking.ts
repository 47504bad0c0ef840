import { unmet } from '../alarm/expectations.ts';
import { phaseNow } from '../alarm/ladder.ts';
import { askNow, mayAsk } from '../alarm/late.ts';
import { newNotice, type What } from '../alarm/notice.ts';
import { stopPassed } from '../alarm/stop-time.ts';
import { FIELD } from '../alarm/who.ts';
import { UnreadableRecord } from '../record/unreadable.ts';
import type { TripState } from '../trip/state.ts';
import type { WatchParts } from './ports.ts';

/** Trips waiting to be asked about; beyond this the oldest is let go: the next word asks again. */
const WAITING_MAX = 1000;
/** A forecast under way when the process is to end gets this long. */
const STOP_MS = 2_000;

/**
 * Holds agreed times against a fresh forecast, one trip after the other and apart from the alarms: a
 * forecast takes a while, and no alarm may wait for one. What is waiting is lost with the process; it
 * is a courtesy, and the next word from the wall brings it back.
 */
export class Asking {
  readonly #parts: WatchParts;
  readonly #queued: () => void;
  readonly #waiting = new Set<string>();
  #working: Promise<void> | undefined;

  /** `queued` is called when a question has been put into the outbox. */
  constructor(parts: WatchParts, queued: () => void) {
    this.#parts = parts;
    this.#queued = queued;
  }

  add(trip: string): void {
    // Goes to the end when it was waiting already.
    this.#waiting.delete(trip);
    this.#waiting.add(trip);
    for (const oldest of this.#waiting) {
      if (this.#waiting.size <= WAITING_MAX) break;
      this.#waiting.delete(oldest);
    }
    this.#working ??= this.#work();
  }

  /** Nothing more is taken up; resolves when the one under way is done, or has had its time. */
  async stop(): Promise<void> {
    this.#waiting.clear();
    const done = new AbortController();
    await Promise.race([this.#working, this.#parts.clock.sleep(STOP_MS, done.signal)]);
    done.abort();
  }

  /** Resolves when nothing is waiting. */
  async done(): Promise<void> {
    await this.#working;
  }

  async #work(): Promise<void> {
    for (const trip of this.#waiting) {
      this.#waiting.delete(trip);
      await this.#ask(trip).catch((error: unknown) => {
        // Set aside and said already.
        if (error instanceof UnreadableRecord) return;
        this.#parts.counters.fault('fire');
        this.#parts.log.error({ err: error, trip }, 'nobody could be asked early');
      });
    }
    this.#working = undefined;
  }

  async #ask(trip: string): Promise<void> {
    if (await ask(this.#parts, trip)) this.#queued();
  }
}

/** Resolves to whether there was something to ask. */
async function ask(parts: WatchParts, trip: string): Promise<boolean> {
  const loaded = await parts.records.load(trip);
  const nowMs = parts.clock.wallMs();
  if (loaded === undefined) return false;
  const notices = [
    ...(await timesToMove(parts, loaded.state, nowMs)),
    ...(await stopToAsk(parts, loaded.state, nowMs)),
  ].map((about) => newNotice(trip, FIELD, about, nowMs));
  if (notices.length === 0) return false;
  // Without a word on seq: a question about a time that has moved since is dropped when it is sent.
  await parts.store.fire({ trip, keys: [], atMs: nowMs, notices });
  return true;
}

/** Nobody is asked to move a time while nothing is heard: it would put the alarm off unseen. */
async function timesToMove(parts: WatchParts, state: TripState, nowMs: number): Promise<What[]> {
  if (phaseNow(state) !== undefined || !mayAsk(state, nowMs)) return [];
  const projected = await parts.project?.(state, nowMs);
  const asked = askNow(unmet(state), projected, nowMs);
  if (asked === undefined) return [];
  const { projectedMs, ...ask } = asked;
  // Forecast times have fractions, a notice has none.
  return [
    {
      kind: 'ask',
      ...ask,
      ...(projectedMs === undefined ? {} : { projectedMs: Math.round(projectedMs) }),
    },
  ];
}

async function stopToAsk(parts: WatchParts, state: TripState, nowMs: number): Promise<What[]> {
  const passed = stopPassed(state, nowMs);
  if (passed === undefined) return [];
  return [{ kind: 'stop', ...passed, ways: (await parts.waysLate?.(state, nowMs)) ?? [] }];
}
