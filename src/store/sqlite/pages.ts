import { setImmediate } from 'node:timers/promises';
import type { EventSql } from '../rows.ts';

/** Entries read before the event loop gets its turn: a few milliseconds' worth. */
const PAGE = 500;
/** A record that is written to while it is read is read anew, and at last in one piece. */
const TRIES = 3;

/** How entries are read, each in one turn. */
export interface PageReads {
  /** Entries after `afterSeq` in order; at most so many, where a bound is given. */
  entries(trip: string, afterSeq: number, most?: number): EventSql[];
  /** The number of the last entry. */
  lastSeq(trip: string): number | undefined;
}

/**
 * A trip's entries after `afterSeq`, each made into something, so that the longest record holds nothing up.
 * They are all of one moment: between two pages something may be erased, which leaves an entry of its own.
 *
 * @param alone runs a read between transactions
 */
export async function inPages<T>(
  read: PageReads,
  alone: <R>(work: () => R) => Promise<R>,
  trip: string,
  afterSeq: number,
  made: (row: EventSql) => T,
): Promise<T[]> {
  for (let tries = 0; tries < TRIES; tries++) {
    const out: T[] = [];
    let began: number | undefined;
    for (let upTo = afterSeq; ; upTo = afterSeq + out.length) {
      const { rows, last } = await alone(() => ({
        rows: read.entries(trip, upTo, PAGE),
        last: read.lastSeq(trip),
      }));
      for (const row of rows) out.push(made(row));
      began ??= last;
      if (last !== began) break;
      if (rows.length < PAGE) return out;
      await setImmediate();
    }
  }
  return alone(() => read.entries(trip, afterSeq).map(made));
}
