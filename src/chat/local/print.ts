import { clock, offset } from '../../time/format.ts';
import { wallTime } from '../../time/zone.ts';
import { oneLine, plainLine } from '../plain.ts';
import type { Entry } from './channel.ts';
import { renderText, type TextStyle } from './render.ts';

const two = (n: number) => n.toString().padStart(2, '0');

/** `2031-06-12 14:32`, in the zone given. */
export function stamp(zone: string, atMs: number): string {
  const { year, month, day } = wallTime(zone, atMs);
  return `${year}-${two(month)}-${two(day)} ${clock(zone, atMs)}`;
}

/** ISO 8601 with seconds and offset. */
export function isoLocal(zone: string, atMs: number): string {
  const wall = wallTime(zone, atMs);
  return `${stamp(zone, atMs).replace(' ', 'T')}:${two(wall.second)}${offset(wall)}`;
}

/** An entry as a played script shows it: when, who, what; then the answer, set in. */
export function scriptEntry(entry: Entry, zone: string, style: TextStyle): string {
  const head =
    entry.kind === 'answer'
      ? `${entry.who.name}  ${oneLine(entry.said)}`
      : `to ${oneLine(entry.to)}${entry.by === 'channel' ? '' : ` (${entry.by})`}`;
  const body = renderText(entry.reply, { ...style, indent: 2 });
  return `${[`${stamp(zone, entry.atMs)}  ${head}`, ...body].join('\n')}\n\n`;
}

/** An entry as one line of JSON. Files are told by name and size. */
export function jsonLine(entry: Entry, zone: string): string {
  const { reply } = entry;
  const shown = {
    at: isoLocal(zone, entry.atMs),
    kind: entry.kind,
    ...(entry.kind === 'answer'
      ? { who: entry.who.name, said: entry.said }
      : { to: entry.to, by: entry.by }),
    refused: reply.refused === true,
    ...(reply.code === undefined ? {} : { code: reply.code }),
    private: reply.private === true,
    lines: reply.lines.map(plainLine),
    ...(reply.table === undefined
      ? {}
      : { table: { head: reply.table.head, rows: reply.table.rows } }),
    ...(reply.after === undefined ? {} : { after: reply.after.map(plainLine) }),
    buttons: (reply.buttons ?? []).map((b) => b.label),
    files: (reply.files ?? []).map(({ name, mime, bytes, alt }) => ({
      name,
      mime,
      bytes: bytes.length,
      ...(alt === undefined ? {} : { alt }),
    })),
    ...(reply.pings === undefined ? {} : { pings: reply.pings }),
  };
  return `${JSON.stringify(shown)}\n`;
}
