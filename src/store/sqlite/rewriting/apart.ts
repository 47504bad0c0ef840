import { beginThread, nextWord, threadEntry } from '../../../system/thread.ts';
import { rewrite } from './rewrite.ts';
import type { Outcome } from './rewrite-thread.ts';

/** Writes the database at that path anew; rejects with what SQLite said. */
export type Rewrite = (path: string) => Promise<void>;

/** Most memory of the thread, MiB. SQLite's own isn't counted in it. */
const MEMORY_MB = 64;
/** By then a thread that says nothing is taken to have failed: at a megabyte a second, 3.6 GB. Engineering choice. */
const LONGEST_MS = 3_600_000;

/** In a thread; in a checkout here. */
export function systemRewrite(): Rewrite {
  const entry = threadEntry(import.meta.url, './rewrite-thread.js');
  return entry === undefined ? async (path) => rewrite(path) : rewriteApart(entry);
}

/** @param entry the built `rewrite-thread.ts` */
export function rewriteApart(entry: URL, longestMs = LONGEST_MS): Rewrite {
  return async (path) => {
    const worker = beginThread(entry, MEMORY_MB, { workerData: path });
    try {
      const { failed } = (await nextWord(worker, longestMs)) as Outcome;
      if (failed !== undefined) {
        throw Object.assign(new Error(failed.message), { code: failed.code });
      }
    } finally {
      // Until it has ended it may hold the file, whatever it said.
      await worker.terminate();
    }
  };
}
