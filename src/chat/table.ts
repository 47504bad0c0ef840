import stringWidth from 'string-width';
import wrapAnsi from 'wrap-ansi';
import type { Table } from '../say/reply.ts';
import { oneLine } from './plain.ts';

/** Between columns: two spaces, or one where that is what makes the table fit. */
const GAPS = ['  ', ' '] as const;
/** A column is not squeezed below this; a table of very many columns then runs over the width. */
const MIN_COLUMN = 5;

export interface TableText {
  head: readonly string[];
  /** One entry a row; a row whose cells were wrapped has several lines. */
  rows: readonly (readonly string[])[];
}

/**
 * A table in fixed width, at most `maxWidth` columns wide (East Asian wide characters count two).
 * When it doesn't fit, the columns stand closer; then the widest left-aligned ones give way first and their
 * text is wrapped: nothing is left out.
 */
export function tableText(table: Table, maxWidth: number): TableText {
  const head = table.head.map(oneLine);
  const rows = table.rows.map((row) => row.map(oneLine));
  const count = Math.max(head.length, ...rows.map((row) => row.length));
  const natural = Array.from({ length: count }, (_, i) =>
    Math.max(...[head, ...rows].map((row) => stringWidth(row[i] ?? ''))),
  );
  const whole = natural.reduce((sum, w) => sum + w, 0);
  const gap = GAPS.find((g) => whole + g.length * (count - 1) <= maxWidth) ?? GAPS[0];
  const widths = squeeze(
    natural,
    maxWidth - gap.length * (count - 1),
    (i) => table.align?.[i] !== 'right',
  );
  const layout = (row: readonly string[]) => rowLines(row, widths, table.align ?? [], gap);
  return { head: head.some((cell) => cell !== '') ? layout(head) : [], rows: rows.map(layout) };
}

function squeeze(natural: readonly number[], maxWidth: number, gives: (i: number) => boolean) {
  const widths = [...natural];
  const total = () => widths.reduce((sum, w) => sum + w, 0);
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
  gap: string,
): string[] {
  const cells = widths.map((width, i) =>
    wrapAnsi(row[i] ?? '', Math.max(width, 1), { hard: true }).split('\n'),
  );
  const height = Math.max(1, ...cells.map((lines) => lines.length));
  return Array.from({ length: height }, (_, n) =>
    cells
      .map((lines, i) => pad(lines[n] ?? '', widths[i] ?? 0, align[i] ?? 'left'))
      .join(gap)
      .trimEnd(),
  );
}

function pad(text: string, width: number, align: 'left' | 'right'): string {
  const space = ' '.repeat(Math.max(0, width - stringWidth(text)));
  return align === 'right' ? space + text : text + space;
}
