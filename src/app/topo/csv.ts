import { parse } from 'csv-parse/sync';
import { LIMITS } from '../../limits.ts';
import type { PitchData } from '../../trip/topo.ts';
import type { LengthUnit } from '../../trip/units.ts';
import { Refusal } from '../refusal.ts';
import * as cells from './cells.ts';

/** Header names of a topo file, any order, any case. `pitch` and one of the lengths are needed. */
export const TOPO_HEADERS = [
  'pitch',
  'length_m',
  'length_ft',
  'length',
  'free',
  'aid',
  'stance',
  'bivy',
  'places',
  'rappel',
  'minutes',
  'note',
] as const;

type Header = (typeof TOPO_HEADERS)[number];
type Row = Partial<Record<Header, string>>;

/**
 * Reads a topo from CSV (comma, semicolon or tab; UTF-8). Every mistake is listed by row and column
 * and then nothing is taken. `length` without a unit is in the trip's own.
 */
export function readTopo(bytes: Uint8Array, unit: LengthUnit): PitchData[] {
  const rows = readRows(bytes);
  const mistakes: string[] = [];
  const pitches = rows.map(({ line, row }) => readRow(row, line, unit, mistakes));
  mistakes.push(...sequence(rows, pitches));
  if (pitches.length === 0) mistakes.push('The file has a header and no pitches.');
  if (pitches.length > LIMITS.pitches)
    mistakes.push(`${pitches.length} pitches; at most ${LIMITS.pitches}.`);
  if (mistakes.length > 0) {
    const more = mistakes.length - LIMITS.mistakes;
    throw new Refusal([
      `${mistakes.length} ${mistakes.length === 1 ? 'mistake' : 'mistakes'} in that file; nothing was changed.`,
      ...mistakes.slice(0, LIMITS.mistakes),
      ...(more > 0 ? [`and ${more} more.`] : []),
      'Mend them and load it again.',
    ]);
  }
  return pitches as PitchData[];
}

function readRows(bytes: Uint8Array): { line: number; row: Row }[] {
  const text = decode(bytes);
  let header: string[] = [];
  let records: { record: Row; info: { lines: number } }[];
  try {
    records = parse(text, {
      bom: true,
      delimiter: [',', ';', '\t'],
      trim: true,
      skip_empty_lines: true,
      info: true,
      columns: (names: string[]) => {
        header = names.map((n) => n.trim().toLowerCase());
        return header;
      },
    });
  } catch (error) {
    throw new Refusal([
      'That file can’t be read as CSV; nothing was changed.',
      (error as Error).message,
    ]);
  }
  checkHeader(header);
  return records.map(({ record, info }) => ({ line: info.lines, row: record }));
}

function decode(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new Refusal([
      "That file isn't UTF-8 text; nothing was changed.",
      'Save it as "CSV UTF-8" and load it again.',
    ]);
  }
}

function checkHeader(header: readonly string[]): void {
  const strange = header.filter((h) => !(TOPO_HEADERS as readonly string[]).includes(h));
  const lacks = [
    ...(header.includes('pitch') ? [] : ['pitch']),
    ...(['length_m', 'length_ft', 'length'].some((l) => header.includes(l))
      ? []
      : ['length_m or length_ft']),
  ];
  if (strange.length === 0 && lacks.length === 0) return;
  throw new Refusal([
    'The first row must name the columns; nothing was changed.',
    ...(lacks.length === 0 ? [] : [`Missing: ${lacks.join(', ')}.`]),
    ...(strange.length === 0 ? [] : [`Not known: ${strange.join(', ')}.`]),
    `Known: ${TOPO_HEADERS.join(', ')}.`,
  ]);
}

function readRow(row: Row, line: number, unit: LengthUnit, mistakes: string[]): Partial<PitchData> {
  /** Reads one cell; an empty one is left out, a wrong one is noted under its column's name. */
  const take = <T>(column: Header, read: (text: string) => cells.Cell<T>): T | undefined => {
    const text = row[column]?.trim() ?? '';
    if (text === '') return undefined;
    const cell = read(text);
    if ('value' in cell) return cell.value;
    mistakes.push(`Row ${line}, ${column}: ${cell.problem}`);
    return undefined;
  };
  const must = <T>(value: T | undefined, column: string, empty: boolean): T | undefined => {
    if (value === undefined && empty) mistakes.push(`Row ${line}, ${column}: is empty`);
    return value;
  };
  const column = (['length_m', 'length_ft', 'length'] as const).find((c) => (row[c] ?? '') !== '');
  const lengthUnit = column === 'length_m' ? 'm' : column === 'length_ft' ? 'ft' : unit;
  const length = take(column ?? 'length', (text) => cells.lengthCell(text, lengthUnit));
  const bivy = take('bivy', cells.bivyCell) ?? { bivy: 'none' as const };
  const places = take('places', cells.placesCell) ?? bivy.places;
  const optional = {
    free: take('free', cells.freeCell),
    aid: take('aid', cells.aidCell),
    note: take('note', cells.noteCell),
    expectedMin: take('minutes', cells.minutesCell),
    places,
  };
  const made = {
    number: must(take('pitch', cells.numberCell), 'pitch', (row.pitch ?? '') === ''),
    lengthM: must(length, 'length', column === undefined),
    stance: take('stance', cells.stanceCell) ?? ('hanging' as const),
    bivy: bivy.bivy,
    rappel: take('rappel', cells.yesNoCell) ?? false,
    ...Object.fromEntries(Object.entries(optional).filter(([, v]) => v !== undefined)),
  };
  return made as Partial<PitchData>;
}

/** Pitches run 1, 2, 3… in the file. */
function sequence(
  rows: readonly { line: number }[],
  pitches: readonly Partial<PitchData>[],
): string[] {
  return pitches.flatMap((pitch, i) =>
    pitch.number === undefined || pitch.number === i + 1
      ? []
      : [`Row ${rows[i]?.line}, pitch: ${pitch.number}, but ${i + 1} comes next`],
  );
}
