import stringWidth from 'string-width';
import wrapAnsi from 'wrap-ansi';
import type { FileOut, Line, Piece, Reply } from '../../say/reply.ts';
import { kilobytes } from '../file-arg.ts';
import { oneLine, piecesOf } from '../plain.ts';
import { tableText } from '../table.ts';

export interface TextStyle {
  /** Columns of the terminal. */
  width: number;
  /** Bold type for what can be typed; it carries no meaning of its own. */
  bold?: boolean;
  /** Spaces before every line. */
  indent?: number;
  /** Keeps a file, and says in a few words where it is or why it isn't. */
  kept?: (file: FileOut) => string;
}

/** A reply for a terminal: wrapped with a hanging indent, escape sequences in names made harmless. */
export function renderText(reply: Reply, style: TextStyle): string[] {
  const width = Math.max(20, style.width - (style.indent ?? 0));
  const lines = (some: readonly Line[]) =>
    some.flatMap((line) => wrapLine(line, reply, width, style));
  const table = reply.table === undefined ? undefined : tableText(reply.table, width - 2);
  const shown = [
    ...(reply.private === true ? ['(only to you)'] : []),
    ...lines(reply.lines),
    ...[...(table?.head ?? []), ...(table?.rows.flat() ?? [])].map((line) => `  ${line}`),
    ...lines(reply.after ?? []),
    ...(reply.files ?? []).flatMap((file) => hang(fileLine(file, style), width)),
    ...buttonLines(reply, width, style),
  ];
  return shown.map((line) => (line === '' ? '' : ' '.repeat(style.indent ?? 0) + line));
}

function wrapLine(line: Line, reply: Reply, width: number, style: TextStyle): string[] {
  const text = piecesOf(line)
    .map((piece) => pieceText(piece, reply, style))
    .join('');
  return hang(text, width);
}

/** The space between a number and its unit, where a line isn't broken (common practice, no source). */
const UNIT_SPACE = /(?<=\d) (?=(?:%|m|km|min|h|kg|l)(?!\p{L}))/gu;

/** Later lines stand two columns further in than the first, whose own indent is kept. */
function hang(text: string, width: number): string[] {
  const lead = /^ */u.exec(text)?.[0].length ?? 0;
  const first = ' '.repeat(lead);
  const body = text.slice(lead);
  if (lead + stringWidth(body) <= width) return [first + body];
  const wrapped = wrapAnsi(body.replace(UNIT_SPACE, '\u00a0'), width - lead - 2, { hard: true });
  const [head = '', ...rest] = wrapped.replaceAll('\u00a0', ' ').split('\n');
  return [first + head, ...rest.map((part) => `${first}  ${part}`)];
}

function pieceText(piece: Piece, reply: Reply, style: TextStyle): string {
  if (typeof piece === 'string') return oneLine(piece);
  if ('code' in piece) return bold(oneLine(piece.code), style);
  if ('userId' in piece && reply.pings?.includes(piece.userId) === true) {
    return `@${oneLine(piece.text)}`;
  }
  return oneLine(piece.text);
}

function fileLine(file: FileOut, style: TextStyle): string {
  const size = kilobytes(file.bytes.length);
  const what = file.alt === undefined ? '' : `: ${oneLine(file.alt)}`;
  const kept = style.kept?.(file);
  return `File ${oneLine(file.name)} (${size}${kept === undefined ? '' : `, ${kept}`})${what}`;
}

/** Buttons side by side, as they are typed; a label is never broken. */
function buttonLines(reply: Reply, width: number, style: TextStyle): string[] {
  const rows: string[][] = [];
  let length = 0;
  for (const button of reply.buttons ?? []) {
    const label = `[${oneLine(button.label)}]`;
    const last = rows.at(-1);
    if (last === undefined || length + 1 + stringWidth(label) > width) {
      rows.push([label]);
      length = stringWidth(label);
    } else {
      last.push(label);
      length += 1 + stringWidth(label);
    }
  }
  return rows.map((row) => row.map((label) => bold(label, style)).join(' '));
}

function bold(text: string, style: TextStyle): string {
  return style.bold === true ? `\u001b[1m${text}\u001b[22m` : text;
}
