import { setImmediate } from 'node:timers/promises';
import type { TripRow } from '../port.ts';
import type { Reads } from './reads.ts';

/**
 * The trips that keep anything about an account, the newest first. Every entry of the file is looked through, one
 * trip a turn of the event loop: anybody may ask, and the file may be large.
 *
 * @param alone runs a read between transactions
 */
export async function tripsAbout(
  read: Pick<Reads, 'newestFirst' | 'isAbout'>,
  alone: <R>(work: () => R) => Promise<R>,
  userId: string,
): Promise<TripRow[]> {
  const out: TripRow[] = [];
  for (const row of await alone(() => read.newestFirst())) {
    if (await alone(() => read.isAbout(row.id, userId))) out.push(row);
    await setImmediate();
  }
  return out;
}
