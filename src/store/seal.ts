import { createHash, randomBytes } from 'node:crypto';
import { setImmediate } from 'node:timers/promises';
import type { RawFact } from '../trip/fact.ts';
import { canonicalJson } from './canonical.ts';

/**
 * What binds an entry to all before it. Every implementation of the store seals what it appends, in the same
 * transaction, by `sealNext`.
 *
 *     content = SHA-256 of { by_id, by_name, data, salt, typed }
 *     hash    = SHA-256 of { at, content, id, kind, prev, recorded_at, seq }
 *
 * Both in hexadecimal digits, of canonical JSON (RFC 8785) in UTF-8. Times are ISO 8601 in UTC with milliseconds;
 * `typed` is left out where there is none; `prev` is the hash of the entry before, '' for the first. An entry
 * whose content was erased has no salt any more: its content digest and hash stay, so that the chain holds, and
 * what was erased can't be guessed back from them.
 */
export interface Seal {
  /** 128 random bits as hexadecimal digits; gone with the content. */
  salt?: string;
  content: string;
  hash: string;
}

/** An entry as it is stored, with its seal. */
export interface SealedFact extends RawFact {
  seal: Seal;
}

type Content = Pick<RawFact, 'by' | 'typed' | 'data'>;

/** The digest of who told an entry and what it says. */
export function contentDigest({ by, typed, data }: Content, salt: string): string {
  return sha256({ by_id: by.id, by_name: by.name, data, salt, typed });
}

/** The hash of an entry behind the entry with the hash `prev`. */
export function entryHash(fact: Omit<RawFact, 'trip'>, content: string, prev: string): string {
  return sha256({
    at: isoTime(fact.atMs),
    content,
    id: fact.id,
    kind: fact.kind,
    prev,
    recorded_at: isoTime(fact.recordedAtMs),
    seq: fact.seq,
  });
}

/**
 * The text that an entry's hash is made of, but for the hash of the entry before, which stands between the two
 * parts: for a database that finds that one itself.
 */
export function hashedAround(
  fact: Omit<RawFact, 'trip'>,
  content: string,
): { head: string; tail: string } {
  const before = { at: isoTime(fact.atMs), content, id: fact.id, kind: fact.kind };
  const after = { recorded_at: isoTime(fact.recordedAtMs), seq: fact.seq };
  return {
    head: `${canonicalJson(before).slice(0, -1)},"prev":"`,
    tail: `",${canonicalJson(after).slice(1)}`,
  };
}

/** Seals a new entry behind the entry with the hash `prev`; '' for the first. */
export function sealNext(fact: Omit<RawFact, 'trip'>, prev: string): Required<Seal> {
  const salt = randomBytes(16).toString('hex');
  const content = contentDigest(fact, salt);
  return { salt, content, hash: entryHash(fact, content, prev) };
}

/** Entries sealed before the event loop gets its turn: a few milliseconds' worth. */
const SLICE = 100;

/**
 * Seals of the first entries of a record, worked out in slices, so that a long record which is brought in whole
 * holds nothing up.
 *
 * @param facts numbered from 1
 */
export async function sealFirst(facts: readonly Omit<RawFact, 'seq' | 'trip'>[]): Promise<Seal[]> {
  const seals: Seal[] = [];
  for (const [i, fact] of facts.entries()) {
    if (i % SLICE === SLICE - 1) await setImmediate();
    seals.push(sealNext({ ...fact, seq: i + 1 }, seals.at(-1)?.hash ?? ''));
  }
  return seals;
}

/** Sealed entries and, behind them, entries that aren't written yet: those get lasting seals when they are. */
export function sealedBehind(
  stored: readonly SealedFact[],
  held: readonly RawFact[],
): SealedFact[] {
  const all = [...stored];
  for (const fact of held) {
    all.push({ ...fact, seal: sealNext(fact, all.at(-1)?.seal.hash ?? '') });
  }
  return all;
}

/** A time as it stands in a record's file; it is stored in whole milliseconds. */
export function isoTime(ms: number): string {
  const time = new Date(Math.round(ms));
  return Number.isNaN(time.getTime()) ? String(ms) : time.toISOString();
}

function sha256(value: object): string {
  return createHash('sha256').update(canonicalJson(value), 'utf8').digest('hex');
}
