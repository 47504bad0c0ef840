import type { TripState } from '../trip/state.ts';
import type { CapIssue } from '../trip/watch-state.ts';
import { type CapOptions, capName, capTime } from './cap.ts';
import { phaseNow } from './ladder.ts';

/** A CAP message that was issued, with where it stands in the record. */
interface Issued {
  seq: number;
  atMs: number;
  cap: CapIssue;
}

/**
 * What kind of CAP message the trip needs now, to be recorded with its issue. The first one of an alarm is
 * an Alert, a further one an Update. Once the alarm is over, those who hold one get a Cancel (OASIS CAP
 * 1.2, section 3.2.1, "msgType"). Where nothing is overdue and nobody holds one, it is a Test. `newest` is
 * the last entry that is no opening of the sheet. Undefined when nothing was told since the last message:
 * that one is given again.
 */
export function nextCap(state: TripState, newest: number): CapIssue | undefined {
  const issued = issuedIn(state);
  if (issued.at(-1)?.cap.newest === newest) return undefined;
  if (phaseNow(state) !== undefined) {
    return { status: 'Actual', msgType: held(issued).length > 0 ? 'Update' : 'Alert', newest };
  }
  return cancelled(issued).length > 0
    ? { status: 'Actual', msgType: 'Cancel', newest }
    : { status: 'Test', msgType: 'Alert', newest };
}

/** The head of the CAP message that was issued last; undefined when none was. */
export function lastCap(state: TripState, sender: string): CapOptions | undefined {
  const issued = issuedIn(state);
  const last = issued.at(-1);
  if (last === undefined) return undefined;
  const before = issued.slice(0, -1);
  const { status, msgType } = last.cap;
  const about = status === 'Test' ? [] : msgType === 'Cancel' ? cancelled(before) : held(before);
  return {
    sender,
    identifier: identifierOf(state, last),
    sentMs: last.atMs,
    status,
    msgType,
    references: about.map((i) =>
      [capName(sender), identifierOf(state, i), capTime(state.zone, i.atMs)].join(','),
    ),
  };
}

function issuedIn(state: TripState): Issued[] {
  return state.watch.opened.flatMap(({ seq, atMs, cap }) =>
    cap === undefined ? [] : [{ seq, atMs, cap }],
  );
}

/** Those that are held and were not cancelled. */
function held(issued: readonly Issued[]): Issued[] {
  const actual = issued.filter((i) => i.cap.status === 'Actual');
  return actual.slice(actual.findLastIndex((i) => i.cap.msgType === 'Cancel') + 1);
}

/** Those that a Cancel is about. A second one is about the same as the first, which may have got lost. */
function cancelled(issued: readonly Issued[]): Issued[] {
  const actual = issued.filter((i) => i.cap.status === 'Actual');
  return held(actual.slice(0, actual.findLastIndex((i) => i.cap.msgType !== 'Cancel') + 1));
}

/** The second is in it too: a record that was brought back from a backup gives its numbers again. */
function identifierOf(state: TripState, { seq, atMs }: Issued): string {
  return capName(`${state.id}.${seq}.${Math.floor(atMs / 1000)}`);
}
