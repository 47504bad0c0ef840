import { pipeline } from 'node:stream/promises';
import { setImmediate } from 'node:timers/promises';
import { parse } from 'csv-parse';
import { Refusal } from '../say/refusal.ts';

export interface CsvRow {
  /** Line of the file on which the row ends, as a spreadsheet counts. */
  line: number;
  /** Cells by column, trimmed unless asked otherwise; a missing one is empty. */
  cells: Readonly<Record<string, string>>;
  /** Cells beyond the header's that aren't empty. */
  surplus: number;
}

export interface CsvTable {
  header: readonly string[];
  rows: readonly CsvRow[];
}

/** UTF-8 with or without a byte order mark; a Refusal for anything else. */
export function utf8(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new Refusal('file-unreadable', [
      "That file isn't UTF-8 text; nothing was changed.",
      'Save it as "CSV UTF-8" and load it again.',
    ]);
  }
}

/** What a table may hold at most; both are judged while it is read. */
export interface CsvBounds {
  columns: number;
  /** Without the header. */
  rows: number;
  trim: boolean;
}

/**
 * Rows of a CSV text (RFC 4180) whose first row names the columns. The separator is what the first
 * row uses, so that `38,5` may stand in a file separated by semicolons. Rows with too few or too
 * many cells come through, to be named with the other mistakes. Read in slices, with a turn of the
 * event loop after each, and no further than the bounds.
 *
 * @throws Refusal for a table over its bounds, or quotation marks that are wrong
 */
export async function readCsv(text: string, bounds: CsvBounds): Promise<CsvTable> {
  const delimiter = delimiterOf(text);
  const header: string[] = [];
  const rows: CsvRow[] = [];
  const parser = parse({
    bom: true,
    delimiter,
    trim: bounds.trim,
    relax_column_count: true,
    relax_quotes: true,
    skip_empty_lines: true,
    info: true,
    max_record_size: ROW_CHARS,
  });
  parser.on('data', ({ record, info }: { record: string[]; info: { lines: number } }) => {
    if (parser.destroyed) return;
    const refusal = outOfBounds(record, rows.length, bounds);
    if (refusal !== undefined) {
      // Thrown through the stream it would be nobody's to catch.
      parser.destroy(refusal);
    } else if (header.length === 0) {
      header.push(...record.slice(0, bounds.columns).map((name) => name.trim()));
    } else if (record.some((cell) => cell !== '')) {
      rows.push(rowOf(header, record, info.lines));
    }
  });
  try {
    await pipeline(slices(text), parser);
  } catch (error) {
    throw error instanceof Refusal ? error : unreadable(error as Error);
  }
  return { header, rows };
}

/** Longest row: the record's own widest entry, a timetable, takes less. */
const ROW_CHARS = 256 * 1024;
/** Text parsed before the event loop gets its turn: a few milliseconds' worth. */
const SLICE_CHARS = 4 * 1024;
/** The first row is looked at so far for what parts its cells. */
const HEADER_CHARS = 4 * 1024;

async function* slices(text: string): AsyncGenerator<string> {
  for (let at = 0; at < text.length; at += SLICE_CHARS) {
    yield text.slice(at, at + SLICE_CHARS);
    await setImmediate();
  }
}

function outOfBounds(
  record: readonly string[],
  before: number,
  { columns, rows }: CsvBounds,
): Refusal | undefined {
  if (record.length > columns && record.findLastIndex((cell) => cell !== '') >= columns) {
    return tooMany(`The file has more than ${columns} columns.`);
  }
  return before > rows ? tooMany(`The file has more than ${rows} rows.`) : undefined;
}

function tooMany(what: string): Refusal {
  return new Refusal('too-many', [
    `${what} Nothing was changed.`,
    'Take out what does not belong there and load it again.',
  ]);
}

function rowOf(header: readonly string[], record: readonly string[], line: number): CsvRow {
  return {
    line,
    cells: Object.fromEntries(header.map((name, i) => [name, record[i] ?? ''])),
    surplus: record.slice(header.length).filter((cell) => cell !== '').length,
  };
}

function unreadable(error: Error): Refusal {
  return new Refusal('file-unreadable', [
    "That file can't be read as CSV; nothing was changed.",
    (error as { code?: string }).code === 'CSV_MAX_RECORD_SIZE'
      ? 'A row is too long.'
      : error.message,
    'A quote that opens a cell must close it.',
  ]);
}

/** The sign that parts the names of the first row: comma, semicolon or tab. */
function delimiterOf(text: string): string {
  const names = /^[^\r\n]*/.exec(text.slice(0, HEADER_CHARS))?.[0] ?? '';
  const count = (sign: string) => names.split(sign).length;
  return [',', ';', '\t'].reduce((best, sign) => (count(sign) > count(best) ? sign : best));
}
