import { Worker, type WorkerOptions } from 'node:worker_threads';

/** A thread took more of something than it may; it has to be ended. */
export class TooMuch extends Error {
  readonly what: 'time' | 'memory';

  constructor(what: 'time' | 'memory') {
    super(`a thread took too much ${what}`);
    this.what = what;
  }
}

/**
 * The compiled file of a thread beside the module that asks; undefined in a checkout, whose sources are run as they are
 * and which no thread takes on every Node.
 *
 * @param beside `import.meta.url` of who asks
 */
export function threadEntry(beside: string, file: string): URL | undefined {
  return beside.endsWith('.js') ? new URL(file, beside) : undefined;
}

/** Begins a thread. Its end by itself, between two questions, is nobody's fault. */
export function beginThread(entry: URL, memoryMb: number, options: WorkerOptions = {}): Worker {
  const worker = new Worker(entry, {
    ...options,
    // What the program's own start was told is not for a thread: some of it no thread takes.
    execArgv: [],
    resourceLimits: { maxOldGenerationSizeMb: memoryMb },
  });
  // Whoever waits for it hears of it by `nextWord`; unheard, it would end the process.
  return worker.on('error', () => {});
}

/**
 * What a thread says next. After any failure it is of no more use: end it.
 *
 * @throws TooMuch after so long, or where it ran out of memory; what was thrown in it; or that it ended without a word
 */
export function nextWord(worker: Worker, ms: number): Promise<unknown> {
  return new Promise((resolve, reject) => {
    const settle = (end: () => void) => {
      clearTimeout(timer);
      worker.off('message', said).off('error', failed).off('exit', ended);
      end();
    };
    const said = (word: unknown) => settle(() => resolve(word));
    const failed = (error: NodeJS.ErrnoException) =>
      settle(() =>
        reject(error.code === 'ERR_WORKER_OUT_OF_MEMORY' ? new TooMuch('memory') : error),
      );
    const ended = (code: number) =>
      settle(() => reject(new Error(`a thread ended with ${code} and said nothing`)));
    const timer = setTimeout(() => settle(() => reject(new TooMuch('time'))), ms);
    worker.once('message', said).once('error', failed).once('exit', ended);
  });
}
