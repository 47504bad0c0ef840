import type { NoticeData } from '../alarm/notice.ts';
import { deafLine } from '../alarm/words/deaf.ts';
import { type Home, wordsFor } from '../alarm/words/home.ts';
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
  const whole =
    progress.early === true ? { ...late, lines: [h.w.say('phase.early'), ...late.lines] } : late;
  return row.unwritten === true
    ? { ...whole, lines: [...whole.lines, h.w.say('phase.unwritten')] }
    : whole;
}

/** An alarm while posts don't reach us says so, right below what it is about. */
function silenceMayBeOurs(h: Home, message: Message, sinceMs: number): Message {
  const [first, ...rest] = message.lines;
  const said = deafLine(h, sinceMs);
  return { ...message, lines: first === undefined ? [said] : [first, said, ...rest] };
}
