import { parse } from 'csv-parse/sync';
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

/**
 * Rows of a CSV text (RFC 4180) whose first row names the columns. The separator is what the first
 * row uses, so that `38,5` may stand in a file separated by semicolons. Rows with too few or too
 * many cells come through, to be named with the other mistakes.
 */
export function readCsv(text: string, options: { trim: boolean }): CsvTable {
  let parsed: { record: string[]; info: { lines: number } }[];
  try {
    parsed = parse(text, {
      bom: true,
      delimiter: delimiterOf(text),
      trim: options.trim,
      relax_column_count: true,
      relax_quotes: true,
      skip_empty_lines: true,
      info: true,
    }) as unknown as typeof parsed;
  } catch (error) {
    throw new Refusal('file-unreadable', [
      "That file can't be read as CSV; nothing was changed.",
      (error as Error).message,
      'A quote that opens a cell must close it.',
    ]);
  }
  const [first, ...others] = parsed;
  const header = (first?.record ?? []).map((name) => name.trim());
  const rows = others
    .filter(({ record }) => record.some((cell) => cell !== ''))
    .map(
      ({ record, info }): CsvRow => ({
        line: info.lines,
        cells: Object.fromEntries(header.map((name, i) => [name, record[i] ?? ''])),
        surplus: record.slice(header.length).filter((cell) => cell !== '').length,
      }),
    );
  return { header, rows };
}

/** The sign that parts the names of the first row: comma, semicolon or tab. */
function delimiterOf(text: string): string {
  const names = /^[^\r\n]*/.exec(text)?.[0] ?? '';
  const count = (sign: string) => names.split(sign).length;
  return [',', ';', '\t'].reduce((best, sign) => (count(sign) > count(best) ? sign : best));
}
