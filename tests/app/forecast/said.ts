import { tableText } from '../../../src/chat/table.ts';
import type { Reply } from '../../../src/say/reply.ts';
import { text, type World } from '../../helpers/world.ts';

/** `Top-out 18:50 (cautious 20:30)`, or its branches, out of an answer; fails where there is none. */
export function topoutSaid(reply: Reply): string {
  const said = /Top-out (?:by .+? Otherwise [^.]+|[^.]+\)(?=[.,]))/u.exec(text(reply))?.[0];
  if (said === undefined) throw new Error(`no top-out in: ${text(reply)}`);
  return said;
}

/** Every odds line of an answer: `Last boat 18:40` or `On top before Supper 18:40` → `4 in 5`, by its label. */
export function oddsSaid(reply: Reply): Map<string, string> {
  const all = text(reply).matchAll(
    /(?:[\p{L}\d ]+ before )?(\p{L}[\p{L} ]*?) (?:\w{3} )?(\d\d:\d\d): ([^.;,]+)/gu,
  );
  return new Map([...all].map(([, label, , odds]) => [label as string, odds as string]));
}

/** Lines as a phone shows the whole answer, table and all. */
export function lineCount(reply: Reply): number {
  return reply.lines.length + (reply.after?.length ?? 0);
}

/** The widest row of an answer's table, in columns. */
export function tableWidth(reply: Reply): number {
  if (reply.table === undefined) throw new Error('no table');
  const { head, rows } = tableText(reply.table, 200);
  return Math.max(...[head, ...rows].flat().map((row) => row.length));
}

/** Plays lines at their times: `['06:10', 'greta', '/pitch start']`; each must be accepted. */
export async function climb(
  w: World,
  day: string,
  lines: readonly (readonly [string, string, string])[],
): Promise<Reply[]> {
  const replies: Reply[] = [];
  for (const [time, who, line] of lines) {
    w.at(`${day} ${time}`);
    const reply = await w.say(who, line);
    if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
    replies.push(reply);
  }
  return replies;
}
