import { pipeline } from 'node:stream/promises';
import { setImmediate } from 'node:timers/promises';
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

/** Bytes parsed before the event loop gets its turn: a few milliseconds' worth. */
const SLICE_BYTES = 16 * 1024;

/**
 * Streams one file of a feed row by row; nothing of it is kept here. Each row is handled as it is
 * parsed, so that memory holds a piece of the file and no more, and the event loop turns in between.
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
  let nextLine = 1;
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
    // The reference's own example feed leaves out trailing empty fields.
    relax_column_count: true,
    max_record_size: limits.rowBytes,
  });
  parser.on('data', (record: string[]) => {
    if (parser.destroyed) return;
    line = nextLine;
    nextLine += linesOf(record);
    if (record.length === 1 && record[0] === '') return;
    current = record;
    try {
      if (header.size === 0) readHeader(record, line, header, file, reading.required);
      else reading.onRow(row);
    } catch (error) {
      // Thrown through the stream it would be nobody's to catch.
      parser.destroy(error as Error);
    }
  });
  try {
    await pipeline(await zip.open(file), inSlices, parser);
  } catch (error) {
    throw asFeedError(error, file);
  }
  if (header.size === 0) throw new FeedError({ file, reason: 'The file is empty.' });
}

/** Cuts what is unpacked into small pieces, with a turn of the event loop after each. */
async function* inSlices(source: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
  for await (const chunk of source) {
    for (let at = 0; at < chunk.length; at += SLICE_BYTES) {
      yield chunk.subarray(at, at + SLICE_BYTES);
      await setImmediate();
    }
  }
}

/** Lines a record takes; more than one where a quoted field holds line breaks. */
function linesOf(record: readonly string[]): number {
  let lines = 1;
  for (const field of record) {
    for (let at = field.indexOf('\n'); at >= 0; at = field.indexOf('\n', at + 1)) lines++;
  }
  return lines;
}

function readHeader(
  record: readonly string[],
  line: number,
  header: Map<string, number>,
  file: string,
  required: readonly string[],
): void {
  for (const [index, name] of record.entries()) {
    if (header.has(name) && name !== '') {
      throw new FeedError({ file, line, reason: `The column ${name} comes twice.` });
    }
    header.set(name, index);
  }
  const missing = required.filter((name) => !header.has(name));
  if (missing.length > 0) {
    throw new FeedError({ file, line, reason: `No column ${missing.join(', ')}.` });
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
