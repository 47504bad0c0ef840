import { readTopo } from '../../../commands/topo/csv.ts';
import type { Reading } from '../../app/reading.ts';
import { readRecord } from '../../record/file/import.ts';
import { extractTimetable } from '../../timetable/gtfs/extract.ts';
import { listFeed } from '../../timetable/gtfs/listing.ts';

/** Reads in the thread that asks. */
export const readingHere: Reading = {
  listFeed: (bytes) => listFeed(bytes),
  extractTimetable: (bytes, pick) => extractTimetable(bytes, pick),
  readRecord,
  readTopo,
};
