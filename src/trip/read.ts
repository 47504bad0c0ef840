import type { Fact, RawFact } from './fact.ts';
import { issueWords } from './issue-words.ts';
import { isKind, kindOf } from './kinds/index.ts';
import { isInstant } from './kinds/instant.ts';
import { type No, no, ok, type Result } from './rules/no.ts';
import { atOnce } from './slices.ts';

/**
 * Reads one fact as strictly as it is written: its kind must be known, and its data must fit the
 * kind's shape after `upcast` has brought an older release's form up to date.
 */
export function readFact(raw: RawFact): Result<Fact> {
  if (!isKind(raw.kind)) return no(unknownKind(raw.kind));
  if (!isInstant(raw.atMs) || !isInstant(raw.recordedAtMs)) return no(farOff(raw.seq));
  const kind = kindOf(raw.kind);
  const data = kind.upcast === undefined ? raw.data : kind.upcast(raw.data);
  const parsed = kind.data.safeParse(data);
  // The kind's own shape has just been held to.
  if (parsed.success) return ok({ ...raw, data: parsed.data } as Fact);
  const issue = parsed.error.issues[0];
  return no({
    rule: 'not-readable',
    text: `${issue?.path.join('.') || raw.kind}: ${issueWords(issue)}.`,
    ways: ['Check what was typed; /help about: lists the options.'],
  });
}

/** A whole record, or the first entry of it that can't be read. */
export type ReadRecord = { ok: true; value: Fact[] } | { ok: false; seq: number; why: string };

/** Entries checked between two yields: a few milliseconds' worth. */
const SLICE = 200;

/** Reads a whole record; yields where others may have their turn, in a short one nowhere. */
export function* readingFacts(raws: readonly RawFact[]): Generator<void, ReadRecord> {
  const facts: Fact[] = [];
  for (const raw of raws) {
    const read = readFact(raw);
    if (!read.ok) return { ok: false, seq: raw.seq, why: read.no.text };
    facts.push(read.value);
    if (facts.length % SLICE === 0) yield;
  }
  return { ok: true, value: facts };
}

/** The same, all at once. */
export function readFacts(raws: readonly RawFact[]): ReadRecord {
  return atOnce(readingFacts(raws));
}

function farOff(seq: number): No {
  return {
    rule: 'not-readable',
    text: `Entry ${seq}: its time is outside of the years 1970 to 2199.`,
    ways: ['Take the file as /log export gave it.'],
  };
}

function unknownKind(name: string): No {
  return {
    rule: 'not-readable',
    text: `Unknown kind of entry: ${name}.`,
    ways: ['A newer release may know it.'],
  };
}
