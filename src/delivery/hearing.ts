import { watched } from '../alarm/expectations.ts';
import { newNotice } from '../alarm/notice.ts';
import { FIELD, reachable } from '../alarm/who.ts';
import { asUnreadable, UnreadableRecord } from '../record/unreadable.ts';
import type { NewNotice } from '../store/port.ts';
import type { WatchParts } from './ports.ts';

/** Lost for so long, it is said: most losses mend themselves within a minute. Engineering choice. */
const DEAF_MS = 5 * 60_000;
/** A loss sooner after this is the same one. */
const STEADY_MS = 60_000;
/** So long it must hold before it is said to be back; the longer time when it was lost before within the hour. */
const BACK_MS = 3 * 60_000;
const BACK_AGAIN_MS = 15 * 60_000;
const HOUR_MS = 60 * 60_000;

const EVERY_MS = 15_000;
const FACT = 'chat.hearing';

/** What is known of the chat's present or last loss; epoch milliseconds, whole. */
export interface Hearing {
  /** Since when posts don't reach us; undefined while they do. */
  lostMs?: number;
  /** It was said. */
  told?: boolean;
  /** Since when they reach us again, before that is believed. */
  upMs?: number;
  /** When it was last said that they do again. */
  backMs?: number;
}

export type News =
  | { kind: 'deaf'; sinceMs: number }
  | { kind: 'hearing'; sinceMs: number; backMs: number };

/**
 * What follows from how the chat stands now. A loss is said once, and so is its end; a chat that comes
 * and goes is lost all the while.
 *
 * @param lostMs how long it has been lost by now; undefined while it is up
 */
export function hear(
  before: Hearing,
  lostMs: number | undefined,
  nowMs: number,
): { now: Hearing; news?: News } {
  if (lostMs !== undefined) {
    const { upMs: _, ...kept } = before;
    const sinceMs = kept.lostMs ?? Math.round(nowMs - lostMs);
    const now: Hearing = { ...kept, lostMs: sinceMs };
    if (now.told === true || nowMs - sinceMs < DEAF_MS) return { now };
    return { now: { ...now, told: true }, news: { kind: 'deaf', sinceMs } };
  }
  if (before.lostMs === undefined) return { now: before };
  const upMs = before.upMs ?? Math.round(nowMs);
  const lately = before.backMs !== undefined && upMs - before.backMs < HOUR_MS;
  const needMs = before.told !== true ? STEADY_MS : lately ? BACK_AGAIN_MS : BACK_MS;
  if (nowMs - upMs < needMs) return { now: { ...before, upMs } };
  const last = before.backMs === undefined ? {} : { backMs: before.backMs };
  if (before.told !== true) return { now: last };
  return {
    now: { backMs: upMs },
    news: { kind: 'hearing', sinceMs: before.lostMs, backMs: upMs },
  };
}

export interface HearingParts extends Pick<WatchParts, 'store' | 'clock' | 'log' | 'records'> {
  /** How long the chat has been lost; undefined while it is up. */
  lostMs(): number | undefined;
  /** False while another process on this database answers: only that one can tell. */
  answers(): boolean;
}

/** Tells the parties that are out, and their contacts, when posts don't reach us and when they do again. */
export class HearingWatch {
  readonly #parts: HearingParts;
  /** As it was judged here last; undefined before the first look and while another process judges. */
  #own: Hearing | undefined;
  #hearing: Hearing = {};

  constructor(parts: HearingParts) {
    this.#parts = parts;
  }

  /** Since when posts don't reach us, once that was said; epoch milliseconds. */
  get deafSinceMs(): number | undefined {
    return this.#hearing.told === true ? this.#hearing.lostMs : undefined;
  }

  /** Runs until `signal` aborts. */
  async run(signal: AbortSignal): Promise<void> {
    while (!signal.aborted) {
      await this.look().catch((error: unknown) => {
        this.#parts.log.error({ err: error }, 'it could not be told whether posts reach us');
      });
      await this.#parts.clock.sleep(EVERY_MS, signal);
    }
  }

  /** Looks once. What is to be told is in the outbox before it is noted that it was told. */
  async look(): Promise<void> {
    const { store, clock, log, lostMs, answers } = this.#parts;
    if (!answers()) {
      this.#own = undefined;
      this.#hearing = read(await store.getFact(FACT));
      return;
    }
    const before = this.#own ?? read(await store.getFact(FACT));
    const { now, news } = hear(before, lostMs(), clock.wallMs());
    if (news !== undefined) {
      const words = news.kind === 'deaf' ? 'posts do not reach us' : 'posts reach us again';
      log[news.kind === 'deaf' ? 'error' : 'warn']({ sinceMs: news.sinceMs }, words);
      await this.#tell(news);
    }
    this.#own = this.#hearing = now;
    if (JSON.stringify(now) !== JSON.stringify(before))
      await store.setFact(FACT, JSON.stringify(now));
  }

  async #tell(news: News): Promise<void> {
    const { store, records, clock, log } = this.#parts;
    const nowMs = clock.wallMs();
    for (const row of await store.openTrips()) {
      try {
        const trip = await records.load(row.id).catch(asUnreadable);
        // Its channel was told that it isn't watched at all.
        if (trip === undefined || trip instanceof UnreadableRecord || !watched(trip.state))
          continue;
        const to = [FIELD, ...reachable(trip.state).map((p) => p.id)];
        const notices: NewNotice[] = to.map((id) => newNotice(row.id, id, news, nowMs));
        await store.fire({ trip: row.id, keys: [], atMs: nowMs, notices });
      } catch (error) {
        // The others are told all the same.
        log.error({ err: error, trip: row.id }, 'a trip could not be told whether posts reach us');
      }
    }
  }
}

function read(text: string | undefined): Hearing {
  try {
    const found: unknown = JSON.parse(text ?? '{}');
    return typeof found === 'object' && found !== null ? (found as Hearing) : {};
  } catch {
    return {};
  }
}
