import type { Words } from '../../say/contact/words.ts';
import type { Message } from '../../say/message.ts';
import type { Line, Piece } from '../../say/reply.ts';
import { clock, offset } from '../../time/format.ts';
import { weekdayClock, weekdayIn } from '../../time/in-language.ts';
import { daysBetween, localDay, wallTime } from '../../time/zone.ts';
import type { Person } from '../../trip/people.ts';
import type { TripState } from '../../trip/state.ts';
import type { Home } from './home.ts';

/**
 * A message as somebody reads it who may be anywhere: every time with its day, in the wall's time and,
 * where the reader's own zone is known and differs, in theirs; and a line that says which is which.
 */
export function forReader(
  { w, state, nowMs }: Home,
  person: Pick<Person, 'zone'>,
  message: Message,
): Message {
  const own = ownZone(state, person, nowMs);
  let times = 0;
  const read = (line: Line): Line => {
    if (typeof line === 'string') return line;
    return line.map((piece): Piece => {
      if (typeof piece === 'string' || !('atMs' in piece)) return piece;
      times += 1;
      return { ...piece, text: bothTimes({ w, state, nowMs }, own, piece.atMs) };
    });
  };
  const lines = message.lines.map(read);
  return times === 0
    ? message
    : {
        ...message,
        ...(message.now === undefined ? {} : { now: read(message.now) }),
        lines: [...lines, whoseTimes(w, state, own, nowMs)],
      };
}

/** Where somebody waits, if it is not the wall's time there. */
export function ownZone(
  { zone }: TripState,
  person: Pick<Person, 'zone'>,
  nowMs: number,
): string | undefined {
  if (person.zone === undefined) return undefined;
  const same = wallTime(zone, nowMs).offsetMin === wallTime(person.zone, nowMs).offsetMin;
  return same ? undefined : person.zone;
}

/** Says whose times stand in a message. */
export function whoseTimes(
  w: Words,
  { zone }: TripState,
  own: string | undefined,
  nowMs: number,
): Line {
  const wall = { zone, offset: offset(wallTime(zone, nowMs)) };
  return own === undefined
    ? w.say('reader.times', wall)
    : w.say('reader.timesBoth', { ...wall, own });
}

/** `Thu 14:32`, or with theirs: `Thu 14:32 (08:32 yours)`. */
export function bothTimes(
  { w, state: { zone }, nowMs }: Home,
  own: string | undefined,
  atMs: number,
  wall = weekdayClock(w.language, zone, atMs, nowMs),
): string {
  if (own === undefined) return wall;
  const there = wallTime(own, atMs);
  const other = daysBetween(localDay(zone, atMs), there) !== 0;
  const day = other ? `${weekdayIn(w.language, there)} ` : '';
  return w.text('reader.yours', { wall, own: `${day}${clock(own, atMs)}` });
}
