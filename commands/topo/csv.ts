import { type CsvRow, type CsvTable, readCsv, utf8 } from '../../src/app/csv.ts';
import { LIMITS } from '../../src/limits.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { quote } from '../../src/time/duration.ts';
import type { PitchData } from '../../src/trip/topo.ts';
import { LENGTH_UNITS, type LengthUnit } from '../../src/trip/units.ts';
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

/** Columns that name their unit themselves. */
const LENGTH_COLUMNS: Readonly<Record<LengthUnit, Header>> = { m: 'length_m', ft: 'length_ft' };

/**
 * Reads a topo from CSV (comma, semicolon or tab; UTF-8). Every mistake is listed by row and column
 * and then nothing is taken. `length` without a unit is in the trip's own.
 */
export async function readTopo(bytes: Uint8Array, unit: LengthUnit): Promise<PitchData[]> {
  const { header, rows } = await readTable(bytes);
  const mistakes: string[] = [];
  const length = header.find((name) => name.startsWith('length')) as Header;
  let next = 1;
  const pitches = rows.map((row) => {
    const pitch = readRow(row, { unit, length }, mistakes);
    // Pitches run 1, 2, 3…; one that is missing is one mistake.
    if (pitch.number !== undefined && pitch.number !== next) {
      mistakes.push(`Row ${row.line}, pitch: ${pitch.number}, but ${next} comes next`);
    }
    next = (pitch.number ?? next) + 1;
    return pitch;
  });
  if (pitches.length === 0) mistakes.push('The file has a header and no pitches.');
  if (pitches.length > LIMITS.pitches)
    mistakes.push(`${pitches.length} pitches; at most ${LIMITS.pitches}.`);
  if (mistakes.length > 0) {
    const more = mistakes.length - LIMITS.mistakes;
    throw new Refusal('file-mistakes', [
      `${mistakes.length} ${mistakes.length === 1 ? 'mistake' : 'mistakes'} in that file; nothing was changed.`,
      ...mistakes.slice(0, LIMITS.mistakes),
      ...(more > 0 ? [`and ${more} more.`] : []),
      'Mend them and load it again.',
    ]);
  }
  return pitches as PitchData[];
}

async function readTable(bytes: Uint8Array): Promise<CsvTable> {
  const bounds = { rows: LIMITS.topoRows, columns: LIMITS.columns, trim: true };
  const { header, rows } = await readCsv(utf8(bytes), bounds);
  const names = header.map((name) => name.toLowerCase());
  checkHeader(names);
  const renamed = rows.map((row) => ({
    ...row,
    cells: Object.fromEntries(Object.entries(row.cells).map(([k, v]) => [k.toLowerCase(), v])),
  }));
  return { header: names, rows: renamed };
}

function checkHeader(names: readonly string[]): void {
  // A spreadsheet leaves separators behind the last column.
  const header = names.filter((name) => name !== '');
  const twice = header.filter((name, i) => header.indexOf(name) !== i);
  const strange = header.filter((h) => !(TOPO_HEADERS as readonly string[]).includes(h));
  const lacks = [
    ...(header.includes('pitch') ? [] : ['pitch']),
    ...(['length_m', 'length_ft', 'length'].some((l) => header.includes(l))
      ? []
      : ['length_m or length_ft']),
  ];
  if (strange.length + lacks.length + twice.length === 0) return;
  throw new Refusal('file-mistakes', [
    'The first row must name the columns; nothing was changed.',
    ...(lacks.length === 0 ? [] : [`Missing: ${lacks.join(', ')}.`]),
    ...(strange.length === 0 ? [] : [`Not known: ${strange.map(quote).join(', ')}.`]),
    ...(twice.length === 0 ? [] : [`Named twice: ${twice.join(', ')}.`]),
    `Known: ${TOPO_HEADERS.join(', ')}.`,
  ]);
}

interface Columns {
  unit: LengthUnit;
  /** The column that holds lengths, for naming it when the cell is empty. */
  length: Header;
}

type Take = <T>(column: Header, read: (text: string) => cells.Cell<T>) => T | undefined;

/** Free, aid, both, or a choice between them: `5.12a or C1` in one column, or `or C1` in the other. */
function gradesOf(row: CsvRow['cells'], take: Take): Partial<PitchData> {
  const free = row.free ?? '';
  const aid = (row.aid ?? '').replace(/^or\s+/iu, '');
  if (cells.eitherCell(free) === undefined) {
    const grades = {
      free: take('free', cells.freeCell),
      aid: take('aid', () => cells.aidCell(aid)),
    };
    const isChoice = aid !== row.aid && grades.free !== undefined && grades.aid !== undefined;
    return { ...grades, ...(isChoice ? { either: true } : {}) };
  }
  const grades = take(
    'free',
    (text) => cells.eitherCell(text) as NonNullable<ReturnType<typeof cells.eitherCell>>,
  );
  return grades === undefined ? {} : { ...grades, either: true };
}

function readRow(
  { line, cells: row, surplus }: CsvRow,
  { unit, length: lengthColumn }: Columns,
  mistakes: string[],
): Partial<PitchData> {
  const say = (column: Header | undefined, what: string) =>
    mistakes.push(`Row ${line}${column === undefined ? '' : `, ${column}`}: ${what}`);
  /** Reads one cell; an empty one is left out, a wrong one is noted under its column's name. */
  const take = <T>(column: Header, read: (text: string) => cells.Cell<T>): T | undefined => {
    const text = row[column] ?? '';
    if (text === '') return undefined;
    const cell = read(text);
    if ('value' in cell) return cell.value;
    mistakes.push(cells.mistake(`Row ${line}, ${column}`, text, cell.problem));
    return undefined;
  };
  if (surplus > 0) say(undefined, 'more cells than the first row has names; quote commas in notes');
  const filled = (name: Header) => (row[name] ?? '') !== '';
  const named = LENGTH_UNITS.find((u) => filled(LENGTH_COLUMNS[u]));
  const column =
    named !== undefined ? LENGTH_COLUMNS[named] : filled('length') ? 'length' : undefined;
  const lengthUnit = named ?? unit;
  if ((row.pitch ?? '') === '') say('pitch', 'is empty');
  const number = take('pitch', cells.numberCell);
  if (column === undefined) say(lengthColumn, 'is empty');
  const lengthM = take(column ?? 'length', (text) => cells.lengthCell(text, lengthUnit));
  const bivy = take('bivy', cells.bivyCell) ?? { bivy: 'none' as const };
  const places = take('places', cells.placesCell) ?? bivy.places;
  const optional = {
    ...gradesOf(row, take),
    note: take('note', cells.noteCell),
    expectedMin: take('minutes', cells.minutesCell),
    places,
    rappel: take('rappel', cells.rappelCell),
  };
  const made = {
    number,
    lengthM,
    stance: take('stance', cells.stanceCell) ?? ('hanging' as const),
    bivy: bivy.bivy,
    ...Object.fromEntries(Object.entries(optional).filter(([, v]) => v !== undefined)),
  };
  return made as Partial<PitchData>;
}
