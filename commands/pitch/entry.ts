import type { Args, Call } from '../../src/app/command.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { effective } from '../../src/trip/effective.ts';
import { pitchOf } from '../../src/trip/kinds/pitch.ts';
import type { LogEntry, TripState } from '../../src/trip/state.ts';
import type { entryOptions } from './options.ts';

export type EntryArgs = Args<typeof entryOptions>;

/**
 * The post meant: by its number in the log; else the newest post of that pitch; else the asker's own
 * newest. Throws a Refusal that says how to find it.
 */
export function entryMeant(state: TripState, call: Call, args: EntryArgs): LogEntry {
  const { entries } = state;
  if (args.entry !== undefined) {
    const found = entries.find((e) => e.event.seq === args.entry);
    if (found !== undefined) return found;
    throw new Refusal('no-such-entry', [
      `There is no entry ${args.entry}; the record goes to ${state.seq}.`,
      '/log show lists them.',
    ]);
  }
  const standing = entries.filter((e) => e.struckBy === undefined);
  if (args.number !== undefined) {
    const found = newestOf(state, args.number);
    if (found !== undefined) return found;
    throw new Refusal('no-such-entry', [
      `Nothing was told of pitch ${args.number} yet.`,
      '/log show lists every post.',
    ]);
  }
  const own = standing.findLast(
    (e) => e.event.by.id === call.actor.id && pitchOf(e.event) !== undefined,
  );
  if (own !== undefined) return own;
  throw new Refusal('no-such-entry', [
    "You haven't posted a pitch on this trip.",
    'Name one: number: or entry: (see /log show).',
  ]);
}

/** The newest post of a pitch as the posts read now: an amendment may have moved one to it. */
function newestOf(state: TripState, number: number): LogEntry | undefined {
  const { facts } = effective(state.entries.map((e) => e.event));
  const seqs = facts.flatMap((fact) => (pitchOf(fact) === number ? [fact.seq] : []));
  return state.entries.find((e) => e.event.seq === Math.max(...seqs));
}
