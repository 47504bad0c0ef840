import type { NoticeData } from '../alarm/notice.ts';
import { deafLine } from '../alarm/words/deaf.ts';
import type { NoticeRow } from '../store/port.ts';
import type { TripState } from '../trip/state.ts';
import { onceMore } from './correction.ts';
import type { Envelope, WatchParts } from './ports.ts';

const EARLY =
  'An earlier message about this came too soon: a clock was wrong. The right time is now.';
const UNWRITTEN =
  'tagline can write nothing down at the moment (its disk is full or broken): new posts are refused, and this may come twice.';

type Message = Envelope['message'];

/** A message with what has to be known of this copy of it, and of how the chat stands as it is sent. */
export function worded(
  { deafSinceMs }: Pick<WatchParts, 'deafSinceMs'>,
  row: NoticeRow,
  data: NoticeData,
  { state, message, nowMs }: { state: TripState; message: Message; nowMs: number },
): Message {
  const sinceMs = data.what.kind === 'phase' ? deafSinceMs?.() : undefined;
  const given = sinceMs === undefined ? message : silenceMayBeOurs(state, message, sinceMs, nowMs);
  const { progress } = data;
  const late = progress.overtaken === true ? onceMore(given) : given;
  const whole = progress.early === true ? { ...late, lines: [EARLY, ...late.lines] } : late;
  return row.unwritten === true ? { ...whole, lines: [...whole.lines, UNWRITTEN] } : whole;
}

/** An alarm while posts don't reach us says so, right below what it is about. */
function silenceMayBeOurs(
  state: TripState,
  message: Message,
  sinceMs: number,
  nowMs: number,
): Message {
  const [first, ...rest] = message.lines;
  const said = deafLine(state, sinceMs, nowMs);
  return { ...message, lines: first === undefined ? [said] : [first, said, ...rest] };
}
