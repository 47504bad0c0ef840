import type { Reply } from '../say/reply.ts';
import { plainLine } from './plain.ts';
import { tableText } from './table.ts';

/** The words of a reply as bare lines: for a text file, for JSON, for an e-mail. */
export function replyText(reply: Reply, maxWidth = 100): string[] {
  const table = reply.table === undefined ? undefined : tableText(reply.table, maxWidth);
  return [
    ...reply.lines.map(plainLine),
    ...(table === undefined ? [] : [...table.head, ...table.rows.flat()]),
    ...(reply.after ?? []).map(plainLine),
  ];
}
