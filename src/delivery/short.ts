import type { NoticeData } from '../alarm/notice.ts';
import { NOT_A_RESCUE } from '../alarm/words/common.ts';
import { roleLines } from '../alarm/words/contact.ts';
import { LEAD, NO_PAGE, PRESS_IT, wallClock } from '../alarm/words/ways.ts';
import { bare } from '../say/message.ts';
import type { Line } from '../say/reply.ts';
import type { TripState } from '../trip/state.ts';
import type { WayName } from './lanes.ts';
import type { Envelope, Short } from './ports.ts';
import { stepOf } from './turn.ts';

/**
 * So many characters beside title and link: about what a lock screen shows of a notification, and two or
 * three parts of a text message (3GPP TS 23.040: 153 characters each). Engineering choice.
 */
const MOST = 260;

/**
 * A message for a phone: its first sentences, as many as there is room for, and the page that has the rest.
 * Undefined for ways that carry the whole of it.
 */
export function shortOf(
  state: TripState,
  { what }: Pick<NoticeData, 'what'>,
  way: WayName,
  { message, asked }: Pick<Envelope, 'message' | 'asked'>,
  nowMs: number,
): Short | undefined {
  if (way !== 'push' && way !== 'phone') return undefined;
  const url = asked === undefined ? message.links?.[0]?.url : asked.url;
  const lines = picked(linesOf(state, what, message));
  const timed = lines.some((line) => instantIn(line));
  const step = stepOf(state, what);
  return {
    title: bare(message.subject),
    text: [...lines.map(bare), ...(timed ? [wallClock(state, nowMs)] : [])].join(' '),
    ...(url === undefined ? { lead: NO_PAGE } : { lead: leadOf(what, message, asked), url }),
    ...(step === undefined ? {} : { step }),
  };
}

/** What a phone has no room or no use for is left to the page: files, and which clock the times go by. */
function linesOf(
  state: TripState,
  what: NoticeData['what'],
  { lines }: Envelope['message'],
): readonly Line[] {
  const [first, ...rest] = lines;
  if (first === undefined) return [];
  switch (what.kind) {
    case 'invite':
      return roleLines(state);
    case 'drill':
      return [first, PRESS_IT];
    case 'plan':
      return [first, ...rest.filter(instantIn)];
    case 'over':
    case 'removed':
      return [first];
    default:
      return lines.filter((line) => line !== NOT_A_RESCUE && !commandIn(line));
  }
}

/** The first whole, however long it is, and those after it that fit. */
function picked(lines: readonly Line[]): readonly Line[] {
  let room = MOST;
  const found: Line[] = [];
  for (const line of lines) {
    room -= bare(line).length + 1;
    if (room < 0 && found.length > 0) break;
    found.push(line);
  }
  return found;
}

const instantIn = (line: Line) =>
  typeof line !== 'string' && line.some((p) => typeof p === 'object' && 'atMs' in p);
const commandIn = (line: Line) =>
  typeof line !== 'string' && line.some((p) => typeof p === 'object' && 'code' in p);

function leadOf(
  { kind }: NoticeData['what'],
  { buttons = [] }: Envelope['message'],
  asked: Envelope['asked'],
): string {
  if (asked !== undefined) return LEAD.ask;
  if (kind === 'lost') return LEAD.back;
  return buttons.length > 0 ? LEAD.answer : LEAD.look;
}
