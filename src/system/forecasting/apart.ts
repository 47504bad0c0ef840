import type { Worker } from 'node:worker_threads';
import type { Logger } from 'pino';
import { KeptForecasts, type MakingApart } from '../../app/forecast/kept.ts';
import type { ForecastJob, Made } from '../../forecast/jobs.ts';
import { beginThread, nextWord, TooMuch, threadEntry } from '../thread.ts';
import type { Word } from './forecast-thread.ts';

/** Engineering choices: a hundred times what the longest wall takes. */
export const FORECAST_BUDGET = { ms: 60_000, memoryMb: 256 };

/** After so many failures in a row no further thread is begun: it can't be had here. */
const FAILURES = 3;

/** Forecasts that are made in a thread of their own; in a checkout here. */
export function keptForecasts(log: Logger): KeptForecasts {
  const entry = threadEntry(import.meta.url, './forecast-thread.js');
  return new KeptForecasts(undefined, entry && new ForecastThread(entry, log));
}

/**
 * One thread for all forecasts, begun when the first is asked for. The caller asks one thing at a time. A thread that fails, or takes
 * longer or more memory than its budget, is ended, and a new one begun for the next question; the one that failed is left to be
 * answered here, in slices. It keeps the process alive only while something is asked of it.
 */
export class ForecastThread implements MakingApart {
  readonly #entry: URL;
  readonly #log: Logger;
  readonly #budget: typeof FORECAST_BUDGET;
  #worker: Worker | undefined;
  #failures = 0;

  constructor(entry: URL, log: Logger, budget = FORECAST_BUDGET) {
    this.#entry = entry;
    this.#log = log;
    this.#budget = budget;
  }

  async make<K extends keyof Made>(job: ForecastJob<K>): Promise<Made[K] | undefined> {
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
      if (error instanceof TooMuch) throw error;
      this.#failures += 1;
      this.#log.warn({ err: error }, 'a forecast is made here: its thread failed');
      return undefined;
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
