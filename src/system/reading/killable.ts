import type { Reading } from '../../app/reading.ts';
import { Refusal } from '../../say/refusal.ts';
import type { Reply } from '../../say/reply.ts';
import { beginThread, nextWord, TooMuch, threadEntry } from '../thread.ts';
import { readingHere } from './here.ts';

/** What the thread is to do. */
export interface Job {
  name: keyof Reading;
  args: readonly unknown[];
}

/** What came of it. */
export type Said = { value: unknown } | { refusal: Reply };

export interface Budget {
  /** Longest time for one file: the largest feed that is taken needs a few seconds. */
  ms: number;
  /** Most memory of one thread, MiB. */
  memoryMb: number;
  /** Files worked through at the same time; the others wait. */
  atOnce: number;
}

/** Engineering choices: many times what any honest file takes. */
export const BUDGET: Budget = { ms: 20_000, memoryMb: 256, atOnce: 2 };

/** Reads apart; in a checkout here. */
export function systemReading(): Reading {
  const entry = threadEntry(import.meta.url, './reading-thread.js');
  return entry === undefined ? readingHere : killableReading(entry, BUDGET);
}

/**
 * Reads each file in a thread of its own, which is ended when it takes longer or more memory than its budget.
 * What somebody's file makes us compute then holds up nothing and nobody.
 *
 * @param entry the built `reading-thread.ts`
 */
export function killableReading(entry: URL, budget: Budget): Reading {
  const places = new Places(budget.atOnce);
  const run = async (job: Job): Promise<unknown> => {
    await places.take();
    try {
      return await inThread(entry, job, budget);
    } finally {
      places.give();
    }
  };
  const names = Object.keys(readingHere) as (keyof Reading)[];
  return Object.fromEntries(
    names.map((name) => [name, (...args: unknown[]) => run({ name, args })]),
  ) as unknown as Reading;
}

async function inThread(entry: URL, job: Job, { ms, memoryMb }: Budget): Promise<unknown> {
  const worker = beginThread(entry, memoryMb, { workerData: job });
  try {
    return outcome((await nextWord(worker, ms)) as Said);
  } catch (error) {
    throw error instanceof TooMuch ? tooMuch(error.what) : error;
  } finally {
    void worker.terminate();
  }
}

function outcome(said: Said): unknown {
  if ('value' in said) return said.value;
  const { code, lines, buttons } = said.refusal;
  throw new Refusal(code as Refusal['code'], lines, buttons);
}

function tooMuch(what: 'time' | 'memory'): Refusal {
  return new Refusal('file-costly', [
    `That file takes more ${what} to work through than any that is meant for this; it was put down, and nothing was changed.`,
    'Take out what does not belong there and load it again.',
  ]);
}

/** So many at a time, the others in the order in which they came. */
class Places {
  #free: number;
  readonly #waiting: (() => void)[] = [];

  constructor(free: number) {
    this.#free = free;
  }

  async take(): Promise<void> {
    if (this.#free > 0) {
      this.#free -= 1;
      return;
    }
    await new Promise<void>((go) => this.#waiting.push(go));
  }

  give(): void {
    const next = this.#waiting.shift();
    if (next === undefined) this.#free += 1;
    else next();
  }
}
