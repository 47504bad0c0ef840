import { createHash } from 'node:crypto';
import type { ForecastJob, Made } from '../../forecast/jobs.ts';
import { Turns } from '../../record/turns.ts';

/** Some kilobytes each. */
const KEPT = 200;

/** Makes forecasts where they hold up nothing. */
export interface MakingApart {
  /** What comes of the question; undefined where it can't be answered apart, so that it has to be answered here. */
  make<K extends keyof Made>(job: ForecastJob<K>): Promise<Made[K] | undefined>;
}

/**
 * The forecasts made last, so that whoever asks the same (an answer, the board, the page, the watch) costs
 * nothing. A forecast is a pure function of its input, so the input is what it is kept by.
 */
export class KeptForecasts {
  readonly #kept = new Map<string, Promise<Made[keyof Made]>>();
  readonly #most: number;
  readonly #apart: MakingApart | undefined;
  readonly #turns = new Turns();

  constructor(most = KEPT, apart?: MakingApart) {
    this.#most = most;
    this.#apart = apart;
  }

  /**
   * What comes of the question, or came of it before. A failed one is made anew next time. First come, first served: one
   * forecast is worked on at a time, apart where that can be, so whoever came first has an answer soonest.
   *
   * @param here answers in this thread, in slices
   */
  of<K extends keyof Made>(job: ForecastJob<K>, here: () => Promise<Made[K]>): Promise<Made[K]> {
    const key = `${job.asked} ${createHash('sha1').update(asText(job)).digest('base64')}`;
    const made =
      (this.#kept.get(key) as Promise<Made[K]> | undefined) ??
      this.#turns.take('', async () => (await this.#apart?.make(job)) ?? here());
    // Asked for last, forgotten last.
    this.#kept.delete(key);
    this.#kept.set(key, made);
    for (const oldest of this.#kept.keys()) {
      if (this.#kept.size <= this.#most) break;
      this.#kept.delete(oldest);
    }
    made.catch(() => this.#kept.delete(key));
    return made;
  }
}

/** A question in words. JSON has no infinite numbers; they are told apart from what is missing. */
function asText(job: ForecastJob): string {
  return JSON.stringify(job, (_, value: unknown) =>
    typeof value === 'number' && !Number.isFinite(value) ? String(value) : value,
  );
}
