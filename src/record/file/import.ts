import { readCsv, utf8 } from '../../app/csv.ts';
import { LIMITS } from '../../limits.ts';
import { Refusal } from '../../say/refusal.ts';
import type { RawFact } from '../../trip/fact.ts';
import { COLUMNS, type RecordLine, recordLine, toFact } from './columns.ts';

/** A line's number in the file and what it holds, not yet checked. */
interface RawLine {
  at: number;
  value: unknown;
}

/**
 * Reads an exported record, JSON Lines or CSV by its first character. Every mistake is listed by
 * line, and then nothing is taken. The rules of the trip are checked afterwards, by `admit`.
 */
export function readRecord(bytes: Uint8Array): RecordLine[] {
  const text = utf8(bytes);
  const raw = text.trimStart().startsWith('{') ? jsonLines(text) : csvLines(text);
  if (raw.length === 0)
    throw new Refusal('file-mistakes', [
      'The file holds no entries.',
      'Take the file as /log export gave it.',
    ]);
  if (raw.length > LIMITS.entry) {
    throw new Refusal(
      'too-many',
      `The file holds ${raw.length} entries; a record has at most ${LIMITS.entry}.`,
    );
  }
  const problems: string[] = [];
  const lines: RecordLine[] = [];
  for (const { at, value } of raw) {
    const parsed = recordLine.safeParse(value);
    if (parsed.success) lines.push(parsed.data);
    else {
      const issue = parsed.error.issues[0];
      problems.push(`Line ${at}: ${issue?.path.join('.') || 'entry'}: ${issue?.message}`);
    }
  }
  problems.push(...numbering(lines));
  if (problems.length > 0) {
    throw new Refusal('file-mistakes', [
      `The record can't be read; nothing was opened. ${problems.length} to mend:`,
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

/**
 * The facts of an imported record, for the trip `trip`; they are checked when they are admitted.
 */
export function importFacts(trip: string, lines: readonly RecordLine[]): RawFact[] {
  return lines.map((line) => toFact(trip, line));
}

function jsonLines(text: string): RawLine[] {
  return text.split('\n').flatMap((line, i) => {
    if (line.trim() === '') return [];
    try {
      return [{ at: i + 1, value: JSON.parse(line) as unknown }];
    } catch {
      throw new Refusal('file-unreadable', [
        `Line ${i + 1} isn't JSON; nothing was opened.`,
        'Take the file as /log export gave it.',
      ]);
    }
  });
}

function csvLines(text: string): RawLine[] {
  return readCsv(text, { trim: false }).rows.map(({ line, cells }) => {
    const { typed, data, ...rest } = cells;
    const known = Object.fromEntries(
      Object.entries(rest).filter(([k]) => COLUMNS.includes(k as never)),
    );
    return { at: line, value: { ...known, ...(typed ? { typed } : {}), data: json(data) } };
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
