import type { NoticeData } from '../alarm/notice.ts';
import { cleanName, roleLines } from '../alarm/words/contact.ts';
import { type Home, wordsFor } from '../alarm/words/home.ts';
import { ownZone, whoseTimes } from '../alarm/words/reader.ts';
import { bare } from '../say/message.ts';
import type { Line } from '../say/reply.ts';
import { offset } from '../time/format.ts';
import { wallTime } from '../time/zone.ts';
import { personById, type TripState } from '../trip/state.ts';
import type { WayName } from './lanes.ts';
import type { Envelope, Short } from './ports.ts';
import { stepOf } from './turn.ts';

/**
 * So many characters beside title and link: what a notification shows once it is opened, and three parts
 * of a text message (3GPP TS 23.040: 153 characters each). Engineering choice.
 */
const MOST = 400;

/**
 * A message for a phone: its first sentences, as many as there is room for, and the page that has the rest.
 * Undefined for ways that carry the whole of it.
 */
export function shortOf(
  state: TripState,
  { what, to }: Pick<NoticeData, 'what' | 'to'>,
  way: WayName,
  { message, asked }: Pick<Envelope, 'message' | 'asked'>,
  nowMs: number,
): Short | undefined {
  if (way !== 'push' && way !== 'phone' && way !== 'ntfy') return undefined;
  const url = asked === undefined ? message.links?.[0]?.url : asked.url;
  const w = wordsFor(state, to);
  const open = way === 'ntfy';
  const all = nowFirst(message.now, what, linesOf({ w, state, nowMs }, to, what, message));
  const lines = picked(open ? withoutTyped(all, what) : all, what);
  const timed = lines.some((line) => instantIn(line));
  const step = stepOf(state, what);
  return {
    title: bare(open ? withCleanName(state, message.subject) : message.subject),
    text: [
      ...lines.map(bare),
      ...(timed ? [w.text('short.times', { offset: offset(wallTime(state.zone, nowMs)) })] : []),
    ].join(' '),
    language: w.language,
    ...(url === undefined
      ? { lead: w.text('short.noPage') }
      : { lead: w.text(leadOf(message, asked, step)), url }),
    ...(step === undefined ? {} : { step }),
    ...(what.kind === 'drill' ? { rehearsal: true as const } : {}),
  };
}

/**
 * Without the words that somebody typed, on a server that others may read: the page has them. They stand in quotation
 * marks in every language. What asks or rehearses has none.
 */
function withoutTyped(lines: readonly Line[], { kind }: NoticeData['what']): readonly Line[] {
  if (kind === 'invite' || kind === 'drill') return lines;
  const without = (text: string) => text.replace(/“.*”/su, '“…”').replace(/„.*“/su, '„…“');
  return lines.map((line) =>
    typeof line === 'string'
      ? without(line)
      : line.map((piece) => (typeof piece === 'string' ? without(piece) : piece)),
  );
}

/** The trip's name is free text too. */
function withCleanName({ name }: TripState, subject: string): string {
  return subject.replace(name, () => cleanName(name));
}

/** A lock screen shows the first two to four lines of it (common practice, no source): what to do stands there. */
function nowFirst(
  now: Line | undefined,
  { kind }: NoticeData['what'],
  lines: readonly Line[],
): readonly Line[] {
  if (now === undefined) return lines;
  const [first, ...rest] = lines.filter((line) => bare(line) !== bare(now));
  if (first === undefined) return [now];
  // That they left, or which time moved, is no alarm: it is said before when to call.
  return kind === 'plan' ? [first, now, ...rest] : [now, first, ...rest];
}

/** What a phone has no room or no use for is left to the page: files, and which clock the times go by. */
function linesOf(
  { w, state, nowMs }: Home,
  to: string,
  what: NoticeData['what'],
  { lines, buttons = [] }: Envelope['message'],
): readonly Line[] {
  const [first, ...rest] = lines;
  const left = [w.text('rescue.note'), clockLine({ w, state, nowMs }, to)];
  if (first === undefined) return [];
  switch (what.kind) {
    case 'invite':
      // Whoever is asked about one more way of theirs has been told already what a contact does.
      return buttons.length === 0 ? lines : roleLines(state, w);
    case 'drill':
      return [first, w.say('short.drill', { button: w.text('button.ack') })];
    case 'plan':
      return [first, ...rest.filter(instantIn)];
    case 'over':
    case 'removed':
      return [first];
    default:
      return lines.filter((line) => !left.includes(bare(line)) && !commandIn(line));
  }
}

/** What says in a whole message which clock its times go by: a short one has shorter words for it. */
function clockLine({ w, state, nowMs }: Home, to: string): string {
  const person = personById(state, to);
  const own = person === undefined ? undefined : ownZone(state, person, nowMs);
  return bare(whoseTimes(w, state, own, nowMs));
}

/**
 * The first whole, however long it is, and those after it that fit. How an alarm ended is told whole: it says
 * what the rescue service has to hear.
 */
function picked(lines: readonly Line[], { kind }: NoticeData['what']): readonly Line[] {
  if (kind === 'ended' || kind === 'standdown') return lines;
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
  { buttons = [] }: Envelope['message'],
  asked: Envelope['asked'],
  step: Short['step'],
) {
  if (asked !== undefined) return 'short.ask';
  // The words to read out stand there, and the number as a link.
  if (step === 'distress' && buttons.length > 1) return 'short.call';
  return buttons.length > 0 ? 'short.answer' : 'short.look';
}
