/** A thread that works through one file, says what came of it, and ends. */
import { parentPort, workerData } from 'node:worker_threads';
import { Refusal } from '../../say/refusal.ts';
import { readingHere } from './here.ts';
import type { Job, Said } from './killable.ts';

const { name, args } = workerData as Job;
const read = readingHere[name] as (...args: unknown[]) => Promise<unknown>;

async function said(): Promise<Said> {
  try {
    return { value: await read(...args) };
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return { refusal: error.reply() };
  }
}

parentPort?.postMessage(await said());
