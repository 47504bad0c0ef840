import type { Message } from '../../say/message.ts';
import type { Line, Piece } from '../../say/reply.ts';
import { clock, offset, WEEKDAYS } from '../../time/format.ts';
import { daysBetween, localDay, wallTime } from '../../time/zone.ts';
import type { Person } from '../../trip/people.ts';
import type { TripState } from '../../trip/state.ts';

/**
 * A message as somebody reads it who may be anywhere: every time with its day, in the wall's time and,
 * where the reader's own zone is known and differs, in theirs; and a line that says which is which.
 */
export function forReader(
  state: TripState,
  person: Pick<Person, 'zone'>,
  message: Message,
  nowMs: number,
): Message {
  const own =
    person.zone === undefined || sameTime(state.zone, person.zone, nowMs) ? undefined : person.zone;
  let times = 0;
  const lines = message.lines.map((line): Line => {
    if (typeof line === 'string') return line;
    return line.map((piece): Piece => {
      if (typeof piece === 'string' || !('atMs' in piece)) return piece;
      times += 1;
      return { ...piece, text: bothTimes(state.zone, own, piece.atMs, piece.text) };
    });
  });
  if (times === 0) return message;
  const wall = `${state.zone}, UTC${offset(wallTime(state.zone, nowMs))}`;
  const yours = own === undefined ? '' : `; in brackets yours, ${own}`;
  return { ...message, lines: [...lines, `Times are those of the wall: ${wall}${yours}.`] };
}

function sameTime(a: string, b: string, atMs: number): boolean {
  return wallTime(a, atMs).offsetMin === wallTime(b, atMs).offsetMin;
}

function bothTimes(zone: string, own: string | undefined, atMs: number, text: string): string {
  const wall = /[A-Z]/.test(text) ? text : `${weekday(zone, atMs)} ${text}`;
  if (own === undefined) return wall;
  const other = daysBetween(localDay(zone, atMs), wallTime(own, atMs)) !== 0;
  return `${wall} (${other ? `${weekday(own, atMs)} ` : ''}${clock(own, atMs)} yours)`;
}

function weekday(zone: string, atMs: number): string {
  return WEEKDAYS[wallTime(zone, atMs).weekday - 1] ?? '';
}
