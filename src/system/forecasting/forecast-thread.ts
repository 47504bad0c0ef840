/** A thread that answers one question to the model after the other. */
import { parentPort } from 'node:worker_threads';
import { type ForecastJob, type Made, startJob } from '../../forecast/jobs.ts';
import { atOnce } from '../../forecast/sliced.ts';

/** What comes of a question; undefined where the model refuses it: whoever asked finds out why. */
export interface Word {
  made: Made[keyof Made] | undefined;
}

function answer(job: ForecastJob): Word {
  try {
    return { made: atOnce(startJob(job)) };
  } catch {
    return { made: undefined };
  }
}

parentPort?.on('message', (job: ForecastJob) => parentPort?.postMessage(answer(job)));
