import type { LogEntry, TripState } from '../../trip/state.ts';
import type { Call } from '../command.ts';
import { Refusal } from '../refusal.ts';

export interface EntryInput {
  entry?: number | undefined;
  number?: number | undefined;
}

/**
 * The post meant: by its number in the log; else the newest post of that pitch; else the asker's own
 * newest. Throws a Refusal that says how to find it.
 */
export function entryMeant(state: TripState, call: Call, input: EntryInput): LogEntry {
  const { entries } = state;
  if (input.entry !== undefined) {
    const found = entries.find((e) => e.event.seq === input.entry);
    if (found !== undefined) return found;
    throw new Refusal([
      `There is no entry ${input.entry}; the record goes to ${state.seq}.`,
      '/log show lists them.',
    ]);
  }
  const standing = entries.filter(
    (e) => e.struckBy === undefined && !e.event.kind.startsWith('log.'),
  );
  if (input.number !== undefined) {
    const found = standing.findLast((e) => isOfPitch(e, input.number as number));
    if (found !== undefined) return found;
    throw new Refusal([`Nothing was told of pitch ${input.number} yet.`]);
  }
  const own = standing.findLast(
    (e) => e.event.by.id === call.actor.id && e.event.kind.startsWith('pitch.'),
  );
  if (own !== undefined) return own;
  throw new Refusal([
    "You haven't posted a pitch on this trip.",
    'Name one: number: or entry: (see /log show).',
  ]);
}

function isOfPitch(entry: LogEntry, number: number): boolean {
  const data = entry.event.data as { pitch?: unknown };
  return entry.event.kind.startsWith('pitch.') && data.pitch === number;
}
