import { setImmediate } from 'node:timers/promises';
import { contentDigest, entryHash, type SealedFact } from '../store/seal.ts';

/** Entries looked at before the event loop gets its turn: a few milliseconds' worth. */
const SLICE = 100;

/** Whether a record is as it was told. */
export type Chain =
  | { holds: true; entries: number; head: string; erased: readonly number[] }
  /** The first entry that isn't what was sealed, and what is the matter with it. */
  | { holds: false; seq: number; why: 'altered' | 'missing' | 'erased' };

/**
 * Follows a record from its first entry to its last. Whoever can write to the database can seal a false record
 * anew: then its last hash is another than the one that was exported or noted before.
 *
 * @param entries the record as it is stored, in the order of its numbers
 * @param count how many there are to be, at least: one may have been told meanwhile
 */
export async function followChain(entries: readonly SealedFact[], count: number): Promise<Chain> {
  const told = new Set(entries.flatMap(erasedBy));
  const erased: number[] = [];
  let prev = '';
  for (const [i, entry] of entries.entries()) {
    if (i % SLICE === SLICE - 1) await setImmediate();
    const { seq, seal } = entry;
    if (seq !== i + 1) return { holds: false, seq: i + 1, why: 'missing' };
    if (seal.salt === undefined) {
      if (!told.has(seq)) return { holds: false, seq, why: 'erased' };
      erased.push(seq);
    } else if (seal.content !== contentDigest(entry, seal.salt)) {
      return { holds: false, seq, why: 'altered' };
    }
    if (seal.hash !== entryHash(entry, seal.content, prev)) {
      return { holds: false, seq, why: 'altered' };
    }
    prev = seal.hash;
  }
  if (entries.length < count) return { holds: false, seq: entries.length + 1, why: 'missing' };
  return { holds: true, entries: entries.length, head: prev, erased };
}

/** The numbers of the entries that an entry says were erased. */
function erasedBy({ kind, data, seal }: SealedFact): number[] {
  if (kind !== 'log.erased' || seal.salt === undefined) return [];
  const { entries } = data as { entries?: unknown };
  return Array.isArray(entries) ? entries.filter((n) => typeof n === 'number') : [];
}

/** A hash as it is shown and read out: the first 16 of its digits, in fours. */
export function shortHash(hash: string): string {
  return hash.slice(0, 16).replace(/(.{4})(?=.)/g, '$1 ');
}
