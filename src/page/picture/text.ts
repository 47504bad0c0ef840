import { hourTicks } from './axis.ts';
import { frameOf, shownMarks } from './frame.ts';
import type { FanPoint, Level, Scene } from './scene.ts';
import { atIn, currentLevel } from './scene.ts';

/** Columns of the label before each row, and of the whole at most. */
const LABEL = 14;
const MAX_WIDTH = 80;
/** More rows than this don't fit beside the words in a terminal of 40 lines; pitches share rows then. */
const MAX_ROWS = 24;
const LETTERS = 'ABCDEF';

/**
 * The picture in plain text, at most `width` columns (40–80): a row for each pitch, or for several,
 * time from left to right. Only ASCII, so that every terminal and every radio log can hold it.
 */
export function drawText(scene: Scene, width = MAX_WIDTH): string[] {
  if (scene.levels.length === 0) return [scene.note ?? 'Nothing to draw yet.'];
  const columns = Math.min(Math.max(width, 40), MAX_WIDTH) - LABEL;
  const frame = frameOf(scene, 0);
  const column = (atMs: number): number => {
    const share = (atMs - frame.fromMs) / (frame.toMs - frame.fromMs);
    return Math.min(columns - 1, Math.max(0, Math.floor(share * columns)));
  };
  const rows = rowsOf(scene.levels).map((row) => levelRow(scene, row, columns, column));
  return [
    ...letterRow(scene, columns, column),
    ...rows.map((row) => row.trimEnd()),
    `${'ground'.padStart(LABEL - 1)} ${groundRow(scene, columns, column)}`.trimEnd(),
    `${' '.repeat(LABEL - 1)}${axisRow(scene, frame, columns, column)}`.trimEnd(),
    ...keyLines(scene, frame),
  ];
}

/** Highest first; each holds one pitch, or as many as it takes to keep to the rows there are. */
function rowsOf(levels: readonly Level[]): Level[][] {
  const each = Math.ceil(levels.length / MAX_ROWS);
  const rows: Level[][] = [];
  for (let i = 0; i < levels.length; i += each) rows.push(levels.slice(i, i + each));
  return rows.reverse();
}

type Column = (atMs: number) => number;

function levelRow(scene: Scene, row: readonly Level[], columns: number, column: Column): string {
  const cells = background(scene, columns, column);
  const heights = new Set(row.map((l) => l.heightM));
  const here = <T extends { heightM: number }>(all: readonly T[]) =>
    all.filter((p) => heights.has(p.heightM));
  for (const fan of here(scene.fan)) drawFan(cells, fan, scene, column);
  for (const point of here(scene.planned)) cells[column(point.atMs)] = '.';
  for (const fan of here(scene.fan)) {
    if (Number.isFinite(fan.q50)) cells[column(fan.q50)] = 'o';
  }
  for (const point of here(scene.actual)) cells[column(point.atMs)] = '#';
  const [first, last] = [row[0], row.at(-1)];
  const number = first === last ? String(first?.pitch) : `${first?.pitch}-${last?.pitch}`;
  const current = row.includes(currentLevel(scene) as Level) ? '>' : ' ';
  const name = first === last ? plainName(first?.leader) : '';
  return `${current}${number.padStart(5)} ${name.padEnd(LABEL - 8)} ${cells.join('')}`;
}

function plainName(name: string | undefined): string {
  const plain = (name ?? '').normalize('NFC').replace(/\s.*/u, '');
  return [...plain].slice(0, LABEL - 8).join('');
}

/** Dark, the lines of times, and now; whatever is told or projected is drawn over them. */
function background(scene: Scene, columns: number, column: Column): string[] {
  const cells = Array.from({ length: columns }, () => ' ');
  for (const night of scene.nights) {
    const to = column(night.toMs);
    for (let i = column(night.fromMs); i < to; i++) cells[i] = ':';
  }
  for (const mark of shownMarks(scene)) cells[column(mark.atMs)] = '|';
  cells[column(scene.nowMs)] = '+';
  return cells;
}

function drawFan(cells: string[], fan: FanPoint, scene: Scene, column: Column): void {
  if (!Number.isFinite(fan.q10) || fan.q90 <= scene.nowMs) return;
  const to = Number.isFinite(fan.q90) ? column(fan.q90) : cells.length - 1;
  for (let i = column(fan.q10); i <= to; i++) cells[i] = '-';
}

function groundRow(scene: Scene, columns: number, column: Column): string {
  const cells = background(scene, columns, column);
  const { down } = scene;
  if (down !== undefined) {
    drawFan(cells, { heightM: 0, ...down }, scene, column);
    if (Number.isFinite(down.q50)) cells[column(down.q50)] = 'o';
  }
  for (const point of scene.actual.filter((p) => p.heightM === 0)) cells[column(point.atMs)] = '#';
  return cells.join('');
}

/** Letters over the lines of times, which the key explains; beside each other where lines fall together. */
function letterRow(scene: Scene, columns: number, column: Column): string[] {
  const cells = Array.from({ length: columns }, () => ' ');
  const marks = shownMarks(scene);
  for (const [i, mark] of marks.entries()) {
    const from = column(mark.atMs);
    const free = cells.findIndex((cell, at) => at >= from && cell === ' ');
    cells[free < 0 ? cells.indexOf(' ') : free] = LETTERS[i] ?? '|';
  }
  return marks.length === 0 ? [] : [`${' '.repeat(LABEL)}${cells.join('')}`.trimEnd()];
}

function axisRow(
  scene: Scene,
  frame: { fromMs: number; toMs: number },
  columns: number,
  column: Column,
): string {
  const cells = Array.from({ length: columns + 1 }, () => ' ');
  const write = (atMs: number, text: string) => {
    // The row begins one column early, so that a label can stand centred on the first.
    const start = Math.min(Math.max(column(atMs) - 1, 0), columns + 1 - text.length);
    const room = cells.slice(Math.max(0, start - 1), start + text.length + 1);
    if (room.every((c) => c === ' ')) cells.splice(start, text.length, ...text);
  };
  write(scene.nowMs, 'now');
  for (const tick of hourTicks(
    scene,
    frame.fromMs,
    frame.toMs,
    columns / (scene.hours === 12 ? 12 : 9),
  )) {
    write(tick.atMs, tick.label);
  }
  return cells.join('');
}

function keyLines(scene: Scene, frame: { fromMs: number; toMs: number }): string[] {
  const dark = scene.nights.some((n) => n.toMs > frame.fromMs && n.fromMs < frame.toMs);
  const signs: [string, boolean][] = [
    ['# told', scene.actual.length > 0],
    ['. planned', scene.planned.length > 0],
    ['o projected, - 8 in 10', scene.fan.length > 0 || scene.down !== undefined],
    [`+ now ${atIn(scene, scene.nowMs)}`, true],
    [': dark', dark],
  ];
  const marks = shownMarks(scene).map((m, i) => `${LETTERS[i]} ${m.label}`);
  return [signs.flatMap(([text, is]) => (is ? [text] : [])).join('   '), ...marks];
}
