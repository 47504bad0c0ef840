import { dayClock } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';

/** What a reader must know of a record that was opened from a file; nothing for any other. */
export function importedLines({ imported, zone }: TripState, nowMs: number): string[] {
  if (imported === undefined) return [];
  const { entries, atMs, by, chain, from } = imported;
  const seals = {
    holds: 'Their chain held in the file.',
    broken: `Their chain did not hold in the file, from entry ${from ?? 1} on.`,
    none: 'The file had no chain to check them by.',
  };
  return [
    `Entries 1 to ${entries} came from a file that ${by.name} brought in, ${dayClock(zone, atMs, nowMs)}; ` +
      `tagline here did not see them told. ${seals[chain]}`,
  ];
}
