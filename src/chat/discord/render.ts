import type { CardTone, FileOut, Line, Piece, Reply } from '../../say/reply.ts';
import { cut, oneLine, piecesOf, plainLine } from '../plain.ts';
import { tableText } from '../table.ts';
import { replyText } from '../text.ts';
import { type ButtonRow, buttonRows } from './buttons.ts';
import type { KeptPress } from './custom-id.ts';
import { blockLine, escapeLineStart, escapeText, inlineCode } from './escape.ts';
import { ALT_MAX, FILES_MAX, MESSAGES_MAX, PING_IDS_MAX, TABLE_WIDTH } from './limits.ts';
import { type Block, firstLines, pack } from './pack.ts';

/** One message, in no particular library's form. */
export interface Rendered {
  content: string;
  rows: readonly ButtonRow[];
  files: readonly FileOut[];
  /** User ids this message may ping, and no other. */
  pings: readonly string[];
  /** Framed as a card. */
  card?: CardTone;
}

export interface RenderContext {
  /** When it is read, for telling what lies ahead. */
  nowMs: number;
  /** Written into the buttons, so that they act on this trip wherever they are pressed. */
  trip?: string;
  /** 1 for a message that will be edited or pinned. */
  maxMessages?: number;
  /** Ids of the commands by path; a command alone becomes something to tap. */
  commandIds?: ReadonlyMap<string, string>;
  /** Every instant also in the reader's own zone and language: for whoever may be elsewhere. */
  everyInstant?: boolean;
}

export interface Rendering {
  /** At least one. */
  messages: readonly [Rendered, ...Rendered[]];
  /** What had to be left out; for the log, and for a test to fail on. */
  problems: readonly string[];
  /** To be stored before it is sent. */
  kept: readonly KeptPress[];
}

const SNOWFLAKE = /^\d{15,20}$/u;
/** With a file attached, this much of the answer still stands in the message. */
const EXCERPT_MAX = 1500;

/** A reply as Discord messages: all text escaped, nobody pinged who isn't in `pings`. */
export function renderReply(reply: Reply, context: RenderContext): Rendering {
  const pings = (reply.pings ?? []).filter((id) => SNOWFLAKE.test(id)).slice(0, PING_IDS_MAX);
  const { rows, problems, kept } = buttonRows(reply.buttons ?? [], context.trip, reply.links);
  const given = reply.files ?? [];
  if (given.length > FILES_MAX) problems.push(`${given.length} files`);
  const { contents, files } = contentsOf(reply, given, pings, context);
  const messages = contents.map((content, i): Rendered => {
    const last = i === contents.length - 1;
    return {
      content,
      // At the end, where the thumb is when the answer has been read.
      rows: last ? rows : [],
      files: last ? files.slice(0, FILES_MAX).map(fileOut) : [],
      pings: pings.filter((id) => content.includes(`<@${id}>`)),
      ...(reply.card === undefined ? {} : { card: reply.card }),
    };
  });
  return { messages: messages as [Rendered, ...Rendered[]], problems, kept };
}

function contentsOf(
  reply: Reply,
  files: readonly FileOut[],
  pings: readonly string[],
  context: RenderContext,
): { contents: string[]; files: readonly FileOut[] } {
  const show = { pings, stamp: firstAhead(reply, context.nowMs), context };
  const line = (l: Line) => [
    escapeLineStart(
      piecesOf(l)
        .map((p) => pieceText(p, show))
        .join(''),
    ),
  ];
  const lines: Block = { code: false, head: [], groups: reply.lines.map(line) };
  const after: Block = { code: false, head: [], groups: (reply.after ?? []).map(line) };
  const table = tableBlock(reply);
  const packed = pack([lines, table, after], context.maxMessages ?? MESSAGES_MAX);
  if (packed !== undefined) {
    const empty = packed.length === 1 && packed[0]?.trim() === '' && files.length === 0;
    return { contents: empty ? ['(no text)'] : packed, files };
  }
  const excerpt = firstLines(lines.groups.flat(), EXCERPT_MAX);
  if (excerpt.length === 0) {
    excerpt.push(escapeText(cut(plainLine(reply.lines[0] ?? ''), EXCERPT_MAX / 3)));
  }
  const whole = new TextEncoder().encode(`${replyText(reply).join('\n')}\n`);
  const answer: FileOut = { name: 'answer.txt', mime: 'text/plain', bytes: whole };
  return {
    contents: [[...excerpt, 'The whole answer is in the attached file.'].join('\n')],
    files: [answer, ...files],
  };
}

function tableBlock(reply: Reply): Block {
  if (reply.table === undefined) return { code: true, head: [], groups: [] };
  const table = tableText(reply.table, TABLE_WIDTH);
  return {
    code: true,
    head: table.head.map(blockLine),
    groups: table.rows.map((row) => row.map(blockLine)),
  };
}

/** "In 3 hours" helps once, for the first thing that lies ahead; more of it only makes noise. */
function firstAhead(reply: Reply, nowMs: number): Piece | undefined {
  return [...reply.lines, ...(reply.after ?? [])]
    .flatMap(piecesOf)
    .find((piece) => typeof piece === 'object' && 'atMs' in piece && piece.atMs > nowMs);
}

interface Showing {
  pings: readonly string[];
  stamp: Piece | undefined;
  context: RenderContext;
}

function pieceText(piece: Piece, { pings, stamp, context }: Showing): string {
  if (typeof piece === 'string') return escapeText(piece);
  if ('code' in piece) return tappable(piece.code, context.commandIds) ?? inlineCode(piece.code);
  if ('userId' in piece) {
    return pings.includes(piece.userId) ? `<@${piece.userId}>` : escapeText(piece.text);
  }
  const text = escapeText(piece.text);
  if (context.everyInstant === true) return `${text} (<t:${Math.floor(piece.atMs / 1000)}:F>)`;
  return piece === stamp ? `${text} (<t:${Math.floor(piece.atMs / 1000)}:R>)` : text;
}

/** reference.mdx, Message Formatting: a slash command by its id. One with options can't be said so. */
function tappable(code: string, ids: RenderContext['commandIds']): string | undefined {
  const path = code.startsWith('/') ? code.slice(1) : '';
  const id = ids?.get(path);
  return id === undefined ? undefined : `</${path}:${id}>`;
}

function fileOut(file: FileOut): FileOut {
  const name = oneLine(file.name).replace(/[^\p{L}\p{N}._-]+/gu, '_');
  return {
    ...file,
    name: cut(name, 100) || 'file',
    ...(file.alt === undefined ? {} : { alt: cut(oneLine(file.alt), ALT_MAX) }),
  };
}
