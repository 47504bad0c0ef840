import type { NoticeData } from '../alarm/notice.ts';
import { deafLine } from '../alarm/words/deaf.ts';
import { type Home, wordsFor } from '../alarm/words/home.ts';
import { bare } from '../say/message.ts';
import type { Line } from '../say/reply.ts';
import type { NoticeRow } from '../store/port.ts';
import type { TripState } from '../trip/state.ts';
import { onceMore } from './correction.ts';
import type { Envelope, WatchParts } from './ports.ts';

type Message = Envelope['message'];

/** A message with what has to be known of this copy of it, and of how the chat stands as it is sent. */
export function worded(
  { deafSinceMs }: Pick<WatchParts, 'deafSinceMs'>,
  row: NoticeRow,
  data: NoticeData,
  { state, message, nowMs }: { state: TripState; message: Message; nowMs: number },
): Message {
  const h = { w: wordsFor(state, data.to), state, nowMs };
  const sinceMs = data.what.kind === 'phase' ? deafSinceMs?.() : undefined;
  const given = sinceMs === undefined ? message : silenceMayBeOurs(h, message, sinceMs);
  const { progress } = data;
  const late = progress.overtaken === true ? onceMore(given, h.w) : given;
  const whole = progress.early === true ? withEarly(late, h.w.say('phase.early')) : late;
  return row.unwritten === true
    ? { ...whole, lines: [...whole.lines, h.w.say('phase.unwritten')] }
    : whole;
}

/** Before what it is about, but never before the call to the rescue service. */
function withEarly(message: Message, said: Line): Message {
  const [first, ...rest] = message.lines;
  const calls =
    first !== undefined && message.now !== undefined && bare(first) === bare(message.now);
  return { ...message, lines: calls ? [first, said, ...rest] : [said, ...message.lines] };
}

/** An alarm while posts don't reach us says so, right below what it is about. */
function silenceMayBeOurs(h: Home, message: Message, sinceMs: number): Message {
  const [first, ...rest] = message.lines;
  const said = deafLine(h, sinceMs);
  return { ...message, lines: first === undefined ? [said] : [first, said, ...rest] };
}
