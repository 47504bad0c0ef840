import type { Button, Line, Piece, Reply } from './reply.ts';

/** The clock that times of day are written by. */
export type Hours = 12 | 24;

/** `14:32` by itself: no part of a date, an offset, an option or a longer figure. A colon may follow: `21:30: 1 in 2`; `11:04 am` is done. */
const TIME = /(?<![\d:+−-])([01]\d|2[0-3]):([0-5]\d)(?!\d|:\d| [ap]m\b)/gu;

/** What an answer or a message shows; the rest of it is nobody's to read. */
type Shown = Pick<Reply, 'lines' | 'table' | 'after' | 'buttons'> & {
  subject?: string;
  now?: Line | undefined;
};

/**
 * The same with its times of day as `2:32 pm`. Words are made by the 24-hour clock everywhere, so this is
 * done once, where they go out. What is to be typed or copied stays as it is.
 */
export function inHours<T extends Shown>(shown: T, hours: Hours): T {
  if (hours === 24) return shown;
  const { lines, table, after, buttons, subject, now } = shown;
  return {
    ...shown,
    lines: lines.map(lineIn12),
    ...(subject === undefined ? {} : { subject: textIn12(subject) }),
    ...(now === undefined ? {} : { now: lineIn12(now) }),
    ...(after === undefined ? {} : { after: after.map(lineIn12) }),
    ...(table === undefined
      ? {}
      : {
          table: {
            ...table,
            rows: table.rows.map((row) =>
              row.map((cell, i) => (table.durations?.includes(i) ? cell : textIn12(cell))),
            ),
          },
        }),
    ...(buttons === undefined ? {} : { buttons: buttons.map(buttonIn12) }),
  };
}

/** `14:32` → `2:32 pm`, wherever a time stands in a text; noon is 12:00 pm, midnight 12:00 am. */
export function textIn12(text: string): string {
  return text.replace(TIME, (_, hour: string, minute: string) => {
    const h = Number(hour);
    return `${h % 12 === 0 ? 12 : h % 12}:${minute} ${h < 12 ? 'am' : 'pm'}`;
  });
}

/** A text with its times of day by that clock. */
export function timesIn(hours: Hours | undefined, text: string): string {
  return hours === 12 ? textIn12(text) : text;
}

function lineIn12(line: Line): Line {
  return typeof line === 'string' ? textIn12(line) : line.map(pieceIn12);
}

function pieceIn12(piece: Piece): Piece {
  if (typeof piece === 'string') return textIn12(piece);
  return 'atMs' in piece ? { ...piece, text: textIn12(piece.text) } : piece;
}

function buttonIn12(button: Button): Button {
  return { ...button, label: textIn12(button.label) };
}
