import { setImmediate } from 'node:timers/promises';

/** Work that yields where others may have their turn, run with those pauses. Short work yields nowhere. */
export async function inSlices<T>(work: Generator<void, T>): Promise<T> {
  for (;;) {
    const next = work.next();
    if (next.done === true) return next.value;
    await setImmediate();
  }
}
