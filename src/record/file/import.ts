import { setImmediate } from 'node:timers/promises';
import { readCsv, utf8 } from '../../app/csv.ts';
import { LIMITS } from '../../limits.ts';
import { Refusal } from '../../say/refusal.ts';
import type { Seal, SealedFact } from '../../store/seal.ts';
import { type Author, importedAuthor, type RawFact } from '../../trip/fact.ts';
import { issueWords } from '../../trip/issue-words.ts';
import { followChain } from '../chain.ts';
import { COLUMNS, type RecordLine, recordLine, sealIn, toFact, unguarded } from './columns.ts';

/** A line's number in the file and what it holds, not yet checked. */
interface RawLine {
  at: number;
  value: unknown;
}

/** Lines read before the event loop gets its turn: a few milliseconds' worth. */
const SLICE = 100;

/**
 * Reads an exported record, JSON Lines or CSV by its first character, in slices and no further than a
 * record can go. Every mistake is listed by line, and then nothing is taken. The rules of the trip are
 * checked afterwards, by `admit`.
 */
export async function readRecord(bytes: Uint8Array): Promise<RecordLine[]> {
  const text = utf8(bytes);
  const raw = /^\s*\{/.test(text.slice(0, 1000)) ? await jsonLines(text) : await csvLines(text);
  if (raw.length === 0)
    throw new Refusal('file-mistakes', [
      'The file holds no entries.',
      'Take the file as /log export gave it.',
    ]);
  const problems: string[] = [];
  const lines: RecordLine[] = [];
  for (const [i, { at, value }] of raw.entries()) {
    if (i % SLICE === SLICE - 1) await setImmediate();
    const parsed = recordLine.safeParse(value);
    if (parsed.success) lines.push(parsed.data);
    else {
      const issue = parsed.error.issues[0];
      problems.push(`Line ${at}: ${issue?.path.join('.') || 'entry'}: ${issueWords(issue)}`);
    }
    // What is shown is enough to mend; the rest would be worked through for nobody.
    if (problems.length > LIMITS.mistakes) break;
  }
  if (problems.length <= LIMITS.mistakes) problems.push(...numbering(lines), ...crowds(lines));
  if (problems.length > 0) {
    const many = problems.length > LIMITS.mistakes;
    throw new Refusal('file-mistakes', [
      `The record can't be read; nothing was opened. ${many ? `More than ${LIMITS.mistakes}` : problems.length} to mend:`,
      ...problems.slice(0, LIMITS.mistakes),
    ]);
  }
  return lines;
}

/** Numbers run 1, 2, 3…, ids are unique: else strikes and amendments would point elsewhere. */
function numbering(lines: readonly RecordLine[]): string[] {
  const wrong = lines.findIndex((line, i) => line.seq !== i + 1);
  const out =
    wrong < 0 ? [] : [`Entry ${wrong + 1}: seq is ${lines[wrong]?.seq}, should be ${wrong + 1}`];
  const ids = new Set(lines.map((line) => line.id));
  return ids.size === lines.length ? out : [...out, 'Two entries have the same id'];
}

/** Kinds of which there are more than any trip has. */
function crowds(lines: readonly RecordLine[]): string[] {
  const bounds = { ...LIMITS.readOfKind, ...LIMITS.readOfAsking };
  return Object.entries(bounds).flatMap(([kind, most]) => {
    const count = lines.filter((line) => line.kind === kind).length;
    return count > most ? [`${count} entries of ${kind}; a trip has at most ${most}`] : [];
  });
}

/** Who brings a record in, when, and the id of the entry that says so. */
export interface Import {
  by: Author;
  atMs: number;
  id: string;
}

/**
 * The facts of an imported record, for the trip `trip`, and behind them one that says where they come from; all
 * are checked when they are admitted. Their authors are kept by name, as text.
 */
export async function importFacts(
  trip: string,
  lines: readonly RecordLine[],
  { by, atMs, id }: Import,
): Promise<RawFact[]> {
  const facts: RawFact[] = [];
  for (const [i, line] of lines.entries()) {
    if (i % SLICE === SLICE - 1) await setImmediate();
    const fact = toFact(trip, line);
    facts.push({ ...fact, by: importedAuthor(fact.by) });
  }
  const data = { entries: lines.length, ...(await sealsOf(trip, lines)) };
  const head = { trip, seq: lines.length + 1, id, atMs, recordedAtMs: atMs, by };
  return [...facts, { ...head, kind: 'log.imported', data }];
}

/** What the seals in a file are worth. */
async function sealsOf(trip: string, lines: readonly RecordLine[]) {
  if (lines.every((line) => sealIn(line) === undefined)) return { chain: 'none' };
  const sealed: SealedFact[] = [];
  for (const [i, line] of lines.entries()) {
    if (i % SLICE === SLICE - 1) await setImmediate();
    sealed.push({ ...toFact(trip, line), seal: sealIn(line) ?? NO_SEAL });
  }
  const chain = await followChain(sealed, sealed.length);
  return chain.holds ? { chain: 'holds', head: chain.head } : { chain: 'broken', from: chain.seq };
}

const NO_SEAL: Seal = { content: '', hash: '' };

async function jsonLines(text: string): Promise<RawLine[]> {
  const lines: RawLine[] = [];
  let at = 0;
  for (let from = 0; from < text.length; at++) {
    if (at % SLICE === SLICE - 1) await setImmediate();
    const end = text.indexOf('\n', from);
    const line = text.slice(from, end < 0 ? text.length : end);
    from = end < 0 ? text.length : end + 1;
    if (line.trim() === '') continue;
    if (lines.length >= LIMITS.entry) throw tooMany();
    lines.push({ at: at + 1, value: jsonLine(line, at + 1) });
  }
  return lines;
}

function jsonLine(line: string, at: number): unknown {
  const refuse = (what: string) =>
    new Refusal('file-unreadable', [
      `Line ${at} ${what}; nothing was opened.`,
      'Take the file as /log export gave it.',
    ]);
  if (line.length > LIMITS.lineChars) throw refuse('is longer than any entry');
  try {
    return JSON.parse(line) as unknown;
  } catch {
    throw refuse("isn't JSON");
  }
}

function tooMany(): Refusal {
  return new Refusal('too-many', [
    `The file holds more than ${LIMITS.entry} entries, and no record has so many; nothing was opened.`,
    'Take the file as /log export gave it.',
  ]);
}

const MAY_LACK = ['typed', 'salt', 'content', 'hash'];

async function csvLines(text: string): Promise<RawLine[]> {
  const bounds = { rows: LIMITS.entry, columns: LIMITS.columns, trim: false };
  const { rows } = await readCsv(text, bounds);
  return rows.map(({ line, cells }) => {
    const text = Object.entries(cells).map(([k, cell]) => [k, unguarded(cell)]);
    const { data, ...rest } = Object.fromEntries(text) as Record<string, string>;
    // A cell is empty where the entry has no such thing.
    const known = Object.fromEntries(
      Object.entries(rest).filter(
        ([k, v]) => COLUMNS.includes(k as never) && (v !== '' || !MAY_LACK.includes(k)),
      ),
    );
    return { at: line, value: { ...known, data: json(data) } };
  });
}

/** Not JSON becomes a value that the schema refuses, so that the line is named like any other mistake. */
function json(text: string | undefined): unknown {
  try {
    return JSON.parse(text ?? '');
  } catch {
    return text;
  }
}
