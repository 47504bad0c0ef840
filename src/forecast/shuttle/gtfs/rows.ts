import { pipeline } from 'node:stream/promises';
import { CsvError, parse } from 'csv-parse';
import type { GtfsLimits } from './limits.ts';
import { FeedError } from './refusal.ts';
import type { FeedZip } from './zip.ts';

/** One row: fields by column name, and a way to refuse it by its line. */
export interface Row {
  /** The field, without spaces around it; empty where the row or the file has none. */
  get(column: string): string;
  /** A field that must not be empty. */
  need(column: string): string;
  refuse(reason: string): FeedError;
  /** Line in the file, counted from 1. */
  line(): number;
}

interface Reading {
  required: readonly string[];
  /** False where the feed may go without the file; then no row is given. */
  mandatory?: boolean;
  onRow(row: Row): void;
}

/**
 * Streams one file of a feed row by row; nothing of it is kept here. Each row is handled while it is
 * parsed, so that memory holds a chunk of the file and no more, and the event loop turns between
 * chunks.
 *
 * @throws FeedError with file and line
 */
export async function readRows(
  zip: FeedZip,
  file: string,
  limits: GtfsLimits,
  reading: Reading,
): Promise<void> {
  if (reading.mandatory === false && !zip.has(file)) return;
  const header = new Map<string, number>();
  let current: readonly string[] = [];
  let line = 0;
  const row: Row = {
    get: (column) => current[header.get(column) ?? -1] ?? '',
    need: (column) => {
      const value = row.get(column);
      if (value === '') throw row.refuse(`${column} is empty.`);
      return value;
    },
    refuse: (reason) => new FeedError({ file, line, reason }),
    line: () => line,
  };
  const parser = parse({
    bom: true,
    trim: true,
    skip_empty_lines: true,
    // The reference's own example feed leaves out trailing empty fields.
    relax_column_count: true,
    max_record_size: limits.rowBytes,
    on_record: (record: string[], info: { lines: number }) => {
      line = info.lines;
      current = record;
      if (header.size === 0) readHeader(record, header, file, reading.required);
      else reading.onRow(row);
      return null;
    },
  });
  // Nothing comes out, but the end of the stream is only reached by reading it.
  parser.resume();
  try {
    await pipeline(await zip.open(file), parser);
  } catch (error) {
    throw asFeedError(error, file);
  }
  if (header.size === 0) throw new FeedError({ file, reason: 'The file is empty.' });
}

function readHeader(
  record: readonly string[],
  header: Map<string, number>,
  file: string,
  required: readonly string[],
): void {
  for (const [index, name] of record.entries()) {
    if (header.has(name) && name !== '') {
      throw new FeedError({ file, line: 1, reason: `The column ${name} comes twice.` });
    }
    header.set(name, index);
  }
  const missing = required.filter((name) => !header.has(name));
  if (missing.length > 0) {
    throw new FeedError({ file, line: 1, reason: `No column ${missing.join(', ')}.` });
  }
}

function asFeedError(error: unknown, file: string): unknown {
  if (error instanceof FeedError || !(error instanceof Error)) return error;
  if (error instanceof CsvError) {
    const lines = (error as { lines?: unknown }).lines;
    const line = typeof lines === 'number' ? { line: lines } : {};
    const reason =
      error.code === 'CSV_MAX_RECORD_SIZE'
        ? 'A row is too long; a quotation mark may not be closed.'
        : 'The quotation marks are wrong: a field in them ends with one and a comma or the end of the line.';
    return new FeedError({ file, ...line, reason });
  }
  // What is left comes from unpacking: a damaged stream, or one longer than promised.
  return new FeedError({ file, reason: `It can't be unpacked: ${error.message.slice(0, 120)}.` });
}
