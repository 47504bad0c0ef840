import { type Frame, WIDTH } from './frame.ts';
import type { Label } from './labels.ts';
import { fitText, textWidth } from './letters.ts';
import type { Mark } from './scene.ts';

/** A mark's words above the plot, on the end of its line. */
export interface Flag {
  mark: Mark;
  x: number;
  /** 0 is the row next to the plot. */
  row: number;
  label: Omit<Label, 'y'>;
  left: number;
  right: number;
}

const SIZE = 12.5;
const GAP = 3;
const EDGE = 4;
/** Words cut shorter than this say nothing. */
const MIN_WIDTH = 60;
export const FLAG_ROW = 16;

/**
 * Gives every mark a row and a side so that no words touch and no line runs through any, in as few
 * rows as there can be; words are cut only when there is no other way. A line reaches up to its own
 * row only, so a row for each mark is always enough: the later the higher, words to the left. At
 * most six marks come in, which keeps the search small.
 */
export function flagsOf(marks: readonly Mark[], frame: Pick<Frame, 'x'>): Flag[] {
  const whole = marks.map((mark) => sides(mark, frame).filter((side) => !side.cut));
  const any = marks.map((mark) => sides(mark, frame));
  for (const choices of [whole, any]) {
    for (let rows = 1; rows <= marks.length; rows++) {
      const found = search(choices, rows, []);
      if (found !== undefined) return found;
    }
  }
  return [];
}

type Side = Omit<Flag, 'row'> & { cut: boolean };

function search(
  choices: readonly (readonly Side[])[],
  rows: number,
  placed: readonly Flag[],
): Flag[] | undefined {
  const here = choices[placed.length];
  if (here === undefined) return [...placed];
  for (const side of here) {
    for (let row = 0; row < rows; row++) {
      const flag = { ...side, row };
      if (!placed.every((other) => apart(other, flag))) continue;
      const found = search(choices, rows, [...placed, flag]);
      if (found !== undefined) return found;
    }
  }
  return undefined;
}

/** Words to the right of the line, or to the left; whichever shows more of them first. */
function sides(mark: Mark, frame: Pick<Frame, 'x'>): Side[] {
  const x = frame.x(mark.atMs);
  const room = { start: WIDTH - EDGE - x - GAP, end: x - GAP - EDGE };
  const whole = textWidth(mark.label, SIZE, mark.binds);
  return (['start', 'end'] as const)
    .filter((anchor) => room[anchor] >= Math.min(whole, MIN_WIDTH))
    .sort((a, b) => Math.min(room[b], whole) - Math.min(room[a], whole))
    .map((anchor) => {
      const text = fitText(mark.label, room[anchor], SIZE, mark.binds);
      const width = textWidth(text, SIZE, mark.binds);
      const at = anchor === 'start' ? x + GAP : x - GAP;
      const left = anchor === 'start' ? at : at - width;
      const style = { size: SIZE, bold: mark.binds, tone: 'mark' as const };
      const label = { role: 'mark', text, x: at, anchor, ...style };
      return { mark, x, left, right: left + width, label, cut: text !== mark.label };
    });
}

function apart(a: Flag, b: Flag): boolean {
  if (a.row === b.row) {
    // Beside each other, and not with the other's line in between.
    const gap = 6;
    return a.right + gap < b.left || b.right + gap < a.left;
  }
  const [low, high] = a.row < b.row ? [a, b] : [b, a];
  // The higher one's line passes the lower one's row.
  return high.x <= low.left - GAP || high.x >= low.right + GAP;
}
