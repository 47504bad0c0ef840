import stringWidth from 'string-width';
import wrapAnsi from 'wrap-ansi';
import type { Table } from '../say/reply.ts';
import { oneLine } from './plain.ts';

const GAP = '  ';
/** A column is not squeezed below this; a table of very many columns then runs over the width. */
const MIN_COLUMN = 5;

export interface TableText {
  head: readonly string[];
  /** One entry a row; a row whose cells were wrapped has several lines. */
  rows: readonly (readonly string[])[];
}

/**
 * A table in fixed width, at most `maxWidth` columns wide (East Asian wide characters count two).
 * When it doesn't fit, the widest left-aligned columns give way first and their text is wrapped:
 * nothing is left out.
 */
export function tableText(table: Table, maxWidth: number): TableText {
  const head = table.head.map(oneLine);
  const rows = table.rows.map((row) => row.map(oneLine));
  const count = Math.max(head.length, ...rows.map((row) => row.length));
  const natural = Array.from({ length: count }, (_, i) =>
    Math.max(...[head, ...rows].map((row) => stringWidth(row[i] ?? ''))),
  );
  const widths = squeeze(natural, maxWidth, (i) => table.align?.[i] !== 'right');
  const layout = (row: readonly string[]) => rowLines(row, widths, table.align ?? []);
  return { head: head.some((cell) => cell !== '') ? layout(head) : [], rows: rows.map(layout) };
}

function squeeze(natural: readonly number[], maxWidth: number, gives: (i: number) => boolean) {
  const widths = [...natural];
  const total = () => widths.reduce((sum, w) => sum + w, 0) + GAP.length * (widths.length - 1);
  for (const mayGive of [gives, () => true]) {
    while (total() > maxWidth) {
      const widest = widths.reduce(
        (best, w, i) => (mayGive(i) && w > MIN_COLUMN && w > (widths[best] ?? 0) ? i : best),
        -1,
      );
      if (widest < 0) break;
      widths[widest] = (widths[widest] ?? 0) - 1;
    }
  }
  return widths;
}

function rowLines(
  row: readonly string[],
  widths: readonly number[],
  align: readonly ('left' | 'right')[],
): string[] {
  const cells = widths.map((width, i) =>
    wrapAnsi(row[i] ?? '', Math.max(width, 1), { hard: true }).split('\n'),
  );
  const height = Math.max(1, ...cells.map((lines) => lines.length));
  return Array.from({ length: height }, (_, n) =>
    cells
      .map((lines, i) => pad(lines[n] ?? '', widths[i] ?? 0, align[i] ?? 'left'))
      .join(GAP)
      .trimEnd(),
  );
}

function pad(text: string, width: number, align: 'left' | 'right'): string {
  const space = ' '.repeat(Math.max(0, width - stringWidth(text)));
  return align === 'right' ? space + text : text + space;
}
