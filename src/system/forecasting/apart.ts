import type { Worker } from 'node:worker_threads';
import type { Logger } from 'pino';
import { AGAIN_MS, forecastCostly } from '../../app/forecast/costly.ts';
import { KeptForecasts, type MakingApart } from '../../app/forecast/kept.ts';
import type { ForecastJob, Made } from '../../forecast/jobs.ts';
import { beginThread, nextWord, TooMuch, threadEntry } from '../thread.ts';
import type { Word } from './forecast-thread.ts';

/**
 * Engineering choices. The largest trip there may be (eighty pitches, eight leaders, twenty cutoffs, a shuttle every minute, rain
 * by the hour) takes half a second of the processor [measured]: a machine ten times slower has time enough, and others wait no longer.
 */
export const FORECAST_BUDGET = { ms: 10_000, memoryMb: 256 };

/** Trips of which that is remembered. */
const REMEMBERED = 1000;

/** After so many failures in a row no further thread is begun: it can't be had here. */
const FAILURES = 3;

/** Forecasts that are made in a thread of their own; in a checkout here. */
export function keptForecasts(log: Logger): KeptForecasts {
  const entry = threadEntry(import.meta.url, './forecast-thread.js');
  return new KeptForecasts(undefined, entry && new ForecastThread(entry, log));
}

/**
 * One thread for all forecasts, begun when the first is asked for. The caller asks one thing at a time. A thread that fails, or takes
 * longer or more memory than its budget, is ended, and a new one begun for the next question. One that failed is left to be
 * answered here, in slices; one that took too much is refused, and so is whatever else that trip asks for a while. It keeps the process alive only while something is asked of it.
 */
export class ForecastThread implements MakingApart {
  readonly #entry: URL;
  readonly #log: Logger;
  readonly #budget: typeof FORECAST_BUDGET;
  readonly #monoMs: () => number;
  /** When a trip was put down last, by its seed. */
  readonly #putDown = new Map<number, number>();
  #worker: Worker | undefined;
  #failures = 0;

  /** @param monoMs a clock that is never set */
  constructor(
    entry: URL,
    log: Logger,
    budget = FORECAST_BUDGET,
    monoMs: () => number = () => performance.now(),
  ) {
    this.#entry = entry;
    this.#log = log;
    this.#budget = budget;
    this.#monoMs = monoMs;
  }

  async make<K extends keyof Made>(job: ForecastJob<K>): Promise<Made[K] | undefined> {
    const sinceMs =
      this.#monoMs() - (this.#putDown.get(job.input.seed) ?? Number.NEGATIVE_INFINITY);
    if (sinceMs < AGAIN_MS) throw forecastCostly();
    if (this.#failures >= FAILURES) return undefined;
    try {
      const worker = this.#begun();
      worker.ref();
      worker.postMessage(job);
      const { made } = (await nextWord(worker, this.#budget.ms)) as Word;
      worker.unref();
      this.#failures = 0;
      return made as Made[K] | undefined;
    } catch (error) {
      this.#end();
      // One that never ends would not end here either.
      if (error instanceof TooMuch) {
        this.#log.warn({ err: error }, 'a forecast was put down');
        this.#remember(job.input.seed);
        throw forecastCostly();
      }
      this.#failures += 1;
      this.#log.warn({ err: error }, 'a forecast is made here: its thread failed');
      return undefined;
    }
  }

  #remember(seed: number): void {
    this.#putDown.set(seed, this.#monoMs());
    for (const oldest of this.#putDown.keys()) {
      if (this.#putDown.size <= REMEMBERED) break;
      this.#putDown.delete(oldest);
    }
  }

  #begun(): Worker {
    if (this.#worker !== undefined) return this.#worker;
    const worker = beginThread(this.#entry, this.#budget.memoryMb);
    worker.once('exit', () => {
      if (this.#worker === worker) this.#worker = undefined;
    });
    this.#worker = worker;
    return worker;
  }

  #end(): void {
    void this.#worker?.terminate();
    this.#worker = undefined;
  }
}
