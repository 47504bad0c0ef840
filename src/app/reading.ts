import type { readRecord } from '../record/file/import.ts';
import type { extractTimetable } from '../timetable/gtfs/extract.ts';
import type { listFeed } from '../timetable/gtfs/listing.ts';
import type { PitchData } from '../trip/topo.ts';
import type { LengthUnit } from '../trip/units.ts';

/**
 * Works through files that people attach. Each takes the bytes and gives data or refuses, and touches nothing
 * else, so that it can be done where it can be stopped.
 */
export interface Reading {
  listFeed: (bytes: Uint8Array) => ReturnType<typeof listFeed>;
  extractTimetable: (
    ...args: [Uint8Array, Parameters<typeof extractTimetable>[1]]
  ) => ReturnType<typeof extractTimetable>;
  readRecord: typeof readRecord;
  readTopo: (bytes: Uint8Array, unit: LengthUnit) => Promise<PitchData[]>;
}
