/** A thread that writes one database anew, says what came of it, and ends. */
import { parentPort, workerData } from 'node:worker_threads';
import { rewrite } from './rewrite.ts';

/** Why it failed; an error's own fields don't all pass from thread to thread. */
export interface Outcome {
  failed?: { code: string | undefined; message: string };
}

function outcome(path: string): Outcome {
  try {
    rewrite(path);
    return {};
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    return { failed: { code, message } };
  }
}

parentPort?.postMessage(outcome(workerData as string));
